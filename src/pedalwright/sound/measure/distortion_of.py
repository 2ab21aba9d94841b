"""Distortion and noise of a finished signal that holds one steady tone."""

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.measure.distortion import Conditions, Distortion, figures
from pedalwright.sound.measure.signals import flat_tops, obstacles
from pedalwright.sound.measure.spectrum import audio_band_hz, band_rms_v, noise_beside
from pedalwright.sound.measure.tone_fit import ToneFit, fit_tone

MOST_ORDERS = 40
LEAST_CYCLES = 8
_STEADY = 1e-3


def distortion_of(
    signal_v: FloatArray,
    rate_hz: float,
    *,
    tone_hz: float | None = None,
    band_hz: tuple[float, float] | None = None,
) -> Distortion:
    """Distortion of the tone in a finished signal (frames,) [V], by a fit of the tone and its harmonics.

    At most the last 65536 frames and the first 40 orders count; higher orders count as noise.
    """
    band_hz = band_hz or audio_band_hz(rate_hz)
    troubles = obstacles(signal_v, least_frames=256)
    if troubles:
        unknown = _conditions(tone_hz or 0.0, signal_v, rate_hz, band_hz)
        return Distortion(conditions=unknown, remarks=troubles)
    found = fit_tone(signal_v, rate_hz, orders=1, start_hz=tone_hz)
    conditions = _conditions(found.frequency_hz, found.left_v, rate_hz, band_hz)
    if not band_hz[0] <= found.frequency_hz <= min(band_hz[1], rate_hz / 2 - 1):
        return Distortion(conditions=conditions, remarks=("no tone was found within the band",))
    if conditions.window_s * found.frequency_hz < LEAST_CYCLES:
        return Distortion(conditions=conditions, remarks=("too short: eight cycles of the tone are needed",))
    orders = max(1, min(MOST_ORDERS, int(band_hz[1] / found.frequency_hz)))
    whole = fit_tone(signal_v, rate_hz, orders=orders, start_hz=found.frequency_hz)
    return _of_fit(whole, signal_v, _conditions(whole.frequency_hz, whole.left_v, rate_hz, band_hz))


def _of_fit(whole: ToneFit, signal_v: FloatArray, conditions: Conditions) -> Distortion:
    remarks = flat_tops(signal_v) + _unsteady(whole, signal_v, conditions)
    rate_hz, band_hz = conditions.rate_hz, conditions.band_hz
    return figures(
        whole.peaks_v,
        noise_rms_v=band_rms_v(whole.left_v, rate_hz, band_hz),
        beside_v=_beside_v(whole, conditions),
        dc_v=whole.dc_v,
        conditions=conditions,
        remarks=remarks,
    )


def _beside_v(whole: ToneFit, conditions: Conditions) -> FloatArray:
    """Peak (orders,) of the noise beside each harmonic in a spectrum of the whole window."""
    orders = np.arange(1, len(whole.peaks_v) + 1)
    places = np.rint(orders * whole.frequency_hz * conditions.window_s).astype(np.int64)
    spectrum = np.fft.rfft(whole.left_v) * (2 / len(whole.left_v))
    return noise_beside(spectrum, np.minimum(places, len(spectrum) - 1))


def _unsteady(whole: ToneFit, signal_v: FloatArray, conditions: Conditions) -> tuple[str, ...]:
    """A remark where the tone is louder in one half of the signal than in the other."""
    halves = np.array_split(signal_v[-len(whole.left_v) :], 2)
    first, second = (
        abs(fit_tone(half, conditions.rate_hz, orders=1, start_hz=whole.frequency_hz).peaks_v[0])
        for half in halves
    )
    if abs(first - second) <= _STEADY * max(first, second):
        return ()
    return (f"the tone is not steady: {20 * np.log10(second / first):+.2f} dB from first to second half",)


def _conditions(
    tone_hz: float, signal_v: FloatArray, rate_hz: float, band_hz: tuple[float, float]
) -> Conditions:
    return Conditions(
        tone_hz=tone_hz,
        input_peak_v=None,
        rate_hz=rate_hz,
        band_hz=band_hz,
        window_s=len(signal_v) / rate_hz,
        settled_after_s=0.0,
        method="least-squares fit",
    )
