"""Distortion and noise of a steady tone: harmonics, THD, THD+N, SINAD.

Definitions, from memory: total harmonic distortion against the total output, IEC 60268-3; THD+N as what is
left without the tone against the whole within the band, AES17; SINAD as the tone against what is left,
IEEE Std 1057.
"""

from dataclasses import dataclass

import numpy as np

from pedalwright.solve.arrays import BoolArray, ComplexArray, FloatArray
from pedalwright.sound.measure.coherent import odd_bin, tone, window_frames
from pedalwright.sound.measure.settling import Patience, Settled, settle
from pedalwright.sound.measure.signals import Fresh, decibels, flat_tops, root_sum_square
from pedalwright.sound.measure.spectrum import audio_band_hz, noise_beside

LISTED = 10
NUMERIC_FLOOR = 1e-12
"""what is further below the tone than this is rounding"""
_ABOVE_NOISE = 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Harmonic:
    """One harmonic. `phase_deg` is against the tone with both as sines, at the moment when the tone rises
    through zero: no latency moves it.
    """

    order: int
    frequency_hz: float
    rms_v: float
    level_db: float
    phase_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """What a distortion figure holds for. `input_peak_v` is None where only the output is known."""

    tone_hz: float
    input_peak_v: float | None
    rate_hz: float
    band_hz: tuple[float, float]
    window_s: float
    settled_after_s: float
    method: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Distortion:
    """A tone and what came with it. Ratios are of effective values within the band, without direct voltage.

    Harmonics count where they stand clear of the noise beside them: `harmonics` lists those of the first ten
    orders, `thd_ratio` (against the tone) and `thd_of_total_ratio` take every order within the band. Where
    none does, the ratios are what all of them reach at most.
    """

    conditions: Conditions
    tone_rms_v: float | None = None
    gain_db: float | None = None
    harmonics: tuple[Harmonic, ...] = ()
    thd_ratio: float | None = None
    thd_of_total_ratio: float | None = None
    thd_n_ratio: float | None = None
    sinad_db: float | None = None
    noise_rms_v: float | None = None
    """everything within the band that is neither tone nor clear harmonic; None where that is only rounding"""
    dc_v: float | None = None
    remarks: tuple[str, ...] = ()


def distortion(
    fresh: Fresh,
    rate_hz: float,
    *,
    input_peak_v: float,
    tone_hz: float = 1000.0,
    band_hz: tuple[float, float] | None = None,
    patience: Patience | None = None,
) -> Distortion:
    """Distortion of a player fed with a sine; the tone is moved to the nearest odd bin of the window."""
    band_hz = band_hz or audio_band_hz(rate_hz)
    frames = window_frames(rate_hz, tone_hz)
    at = odd_bin(tone_hz, rate_hz, frames)
    bins = np.arange(0, max(band_hz[1] * frames / rate_hz, at + 1), at, dtype=np.int64)
    bins = bins[bins <= frames // 2]
    settled = settle(fresh, rate_hz, tone(input_peak_v, at, frames), bins, patience=patience)
    conditions = Conditions(
        tone_hz=at * rate_hz / frames,
        input_peak_v=input_peak_v,
        rate_hz=rate_hz,
        band_hz=band_hz,
        window_s=frames / rate_hz,
        settled_after_s=settled.since_s,
        method="coherent sampling",
    )
    return _of_window(settled, at, conditions)


def _of_window(settled: Settled, at: int, conditions: Conditions) -> Distortion:
    low_hz, high_hz = conditions.band_hz
    if not low_hz <= conditions.tone_hz <= high_hz:
        outside = (f"the tone lies outside the band of {low_hz:.0f} Hz to {high_hz:.0f} Hz",)
        return Distortion(conditions=conditions, remarks=outside)
    if not settled.settled:
        return Distortion(conditions=conditions, remarks=settled.remarks)
    window_v = settled.windows_v[-1]
    peaks = np.fft.rfft(window_v) * (2 / len(window_v))
    hz = np.arange(len(peaks)) * (conditions.rate_hz / len(window_v))
    inside = (hz >= low_hz) & (hz <= high_hz)
    orders = np.arange(1, int(high_hz / conditions.tone_hz) + 1)
    orders = orders[orders * at < len(peaks)]
    inside[at * orders] = False
    return figures(
        peaks[at * orders],
        noise_rms_v=root_sum_square(np.abs(peaks[inside])) / np.sqrt(2),
        beside_v=noise_beside(peaks, at * orders),
        dc_v=float(peaks[0].real / 2),
        conditions=conditions,
        remarks=flat_tops(window_v),
    )


def figures(
    peaks_v: ComplexArray,
    *,
    noise_rms_v: float,
    beside_v: FloatArray,
    dc_v: float,
    conditions: Conditions,
    remarks: tuple[str, ...],
) -> Distortion:
    """The figures from the peak phasors (orders,) of tone and harmonics, first order first; the peak of the
    noise beside each (orders,), and the effective value of all that is none of them.
    """
    rms_v = np.abs(peaks_v) / np.sqrt(2)
    tone_v, rest_v = float(rms_v[0]), float(np.hypot(root_sum_square(rms_v[1:]), noise_rms_v))
    if tone_v <= rest_v * 1e-3:
        return Distortion(conditions=conditions, remarks=(*remarks, "the tone is lost in what comes with it"))
    clear = np.abs(peaks_v) > np.maximum(_ABOVE_NOISE * beside_v, NUMERIC_FLOOR * abs(peaks_v[0]))
    counted = clear[1:] if clear[1:].any() else np.ones(len(rms_v) - 1, dtype=bool)
    harmonic_v = root_sum_square(rms_v[1:][counted])
    noise_v = float(np.hypot(noise_rms_v, root_sum_square(rms_v[1:][~counted])))
    clean = rest_v <= NUMERIC_FLOOR * tone_v
    total_v = float(np.hypot(tone_v, rest_v))
    peak_v = conditions.input_peak_v
    return Distortion(
        conditions=conditions,
        tone_rms_v=tone_v,
        gain_db=decibels(tone_v * np.sqrt(2) / peak_v) if peak_v else None,
        harmonics=_harmonics(peaks_v, clear, conditions.tone_hz),
        thd_ratio=None if clean or len(rms_v) < 2 else harmonic_v / tone_v,
        thd_of_total_ratio=None if clean or len(rms_v) < 2 else harmonic_v / total_v,
        thd_n_ratio=None if clean else rest_v / total_v,
        sinad_db=None if clean else decibels(tone_v / rest_v),
        noise_rms_v=noise_v if noise_v > NUMERIC_FLOOR * tone_v else None,
        dc_v=dc_v if abs(dc_v) > NUMERIC_FLOOR * tone_v else 0.0,
        remarks=remarks + _warnings(clean, clear),
    )


def _warnings(clean: bool, clear: BoolArray) -> tuple[str, ...]:
    if clean:
        return ("distortion and noise are below what the arithmetic can show (-240 dB)",)
    if len(clear) < 2:
        return ("no harmonic of the tone lies within the band",)
    if not clear[1:].any():
        return ("no harmonic stands clear of the noise: the harmonic distortion is at most the figure given",)
    return ()


def _harmonics(peaks_v: ComplexArray, clear: BoolArray, tone_hz: float) -> tuple[Harmonic, ...]:
    # cos phasors; a quarter turn makes them sines before the phases are compared.
    turn, size = np.angle(peaks_v * 1j), np.abs(peaks_v)
    listed = [place for place in range(min(LISTED, len(peaks_v))) if clear[place] or place == 0]
    return tuple(
        Harmonic(
            order=place + 1,
            frequency_hz=(place + 1) * tone_hz,
            rms_v=float(size[place] / np.sqrt(2)),
            level_db=float(20 * np.log10(size[place] / size[0])),
            phase_deg=_wrapped_deg(turn[place] - (place + 1) * turn[0]),
        )
        for place in listed
    )


def _wrapped_deg(angle_rad: float) -> float:
    """An angle between -180 (excluded) and 180 degrees."""
    return float(-((180 - np.degrees(angle_rad)) % 360 - 180))
