"""A click at the input, and when and how loudly it arrives at the output."""

from dataclasses import dataclass

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.measure.arrival_parts import (
    Gate,
    density,
    envelope,
    floor_db,
    gates,
    middle_frame,
    narrowed,
    quiet_part,
)
from pedalwright.sound.measure.signals import Fresh, decibels, obstacles, played
from pedalwright.sound.measure.spectrum import audio_band_hz

OCTAVES_HZ = (125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0)
LEAD_S = 0.05
_QUIET_S = 0.04
_SMOOTH_S = 0.002
_MARGIN_S = 0.03
_CLEAR = 30.0
"""energy against that of the noise, from which noise moves a figure by less than 0.15 dB"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrival:
    """One arrival. Gains are against the click at the input: of all its energy within the audio band, of each
    octave of `OCTAVES_HZ`, and at the reference frequency alone; None where noise would decide the figure.

    `time_s` is counted from the click: the middle of the energy within the pattern's band, so filters on the
    way count with their group delay there. `apart` is False where a neighbour runs into it.
    """

    number: int
    time_s: float
    after_first_s: float
    gain_db: float | None
    octaves_db: tuple[float | None, ...]
    reference_db: float | None
    apart: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class EchoPattern:
    """Every arrival stronger than `threshold_db` against the strongest, in the order of time.

    `band_hz` is the band whose energy decides when something arrives and whether it does.
    """

    rate_hz: float
    seconds: float
    click_peak_v: float
    band_hz: tuple[float, float]
    reference_hz: float
    threshold_db: float
    arrivals: tuple[Arrival, ...]
    remarks: tuple[str, ...] = ()


def click(rate_hz: float, seconds: float, peak_v: float) -> FloatArray:
    """One frame of `peak_v` after a short silence, then silence (frames,) [V]."""
    lead = round(LEAD_S * rate_hz)
    sound_v = np.zeros(lead + round(seconds * rate_hz))
    sound_v[lead] = peak_v
    return sound_v


def echo_pattern(
    fresh: Fresh,
    rate_hz: float,
    *,
    seconds: float = 4.0,
    peak_v: float = 0.5,
    band_hz: tuple[float, float] = (500.0, 2000.0),
    reference_hz: float = 1000.0,
    threshold_db: float = -50.0,
    least_gap_s: float = 0.01,
    latency_frames: int = 0,
    wait_s: float = 1.0,
) -> EchoPattern:
    """Arrivals of a click of one frame, played after `wait_s` so that no thump of the start is among them.

    Nearer together than `least_gap_s`, arrivals count as one. `latency_frames` is taken off.
    """
    wait = np.zeros(round(wait_s * rate_hz))
    sent_v = np.concatenate((wait, click(rate_hz, seconds, peak_v), np.zeros(latency_frames)))
    heard_v = played(fresh, sent_v)[len(wait) + latency_frames :]
    return echo_pattern_of(
        heard_v,
        rate_hz,
        click_peak_v=peak_v,
        band_hz=band_hz,
        reference_hz=reference_hz,
        threshold_db=threshold_db,
        least_gap_s=least_gap_s,
    )


def echo_pattern_of(
    heard_v: FloatArray,
    rate_hz: float,
    *,
    click_peak_v: float,
    band_hz: tuple[float, float] = (500.0, 2000.0),
    reference_hz: float = 1000.0,
    threshold_db: float = -50.0,
    least_gap_s: float = 0.01,
    click_at_s: float = LEAD_S,
) -> EchoPattern:
    """Arrivals in a finished signal (frames,) [V], the answer to a click of one frame at `click_at_s`.

    The impulse response of a sweep is such an answer too, with a click of one volt.
    """
    troubles = obstacles(heard_v)
    energy = np.zeros(1) if troubles else envelope(heard_v, rate_hz, band_hz)
    found = () if troubles else gates(energy, threshold_db, round(least_gap_s * rate_hz))
    smooth = max(1, round(_SMOOTH_S * rate_hz))
    found = tuple(narrowed(energy, gate, smooth, round(_MARGIN_S * rate_hz)) for gate in found)
    times_s = [middle_frame(energy, gate, smooth) / rate_hz - click_at_s for gate in found]
    listener = _Listener.of(heard_v, energy, rate_hz, click_peak_v, reference_hz)
    return EchoPattern(
        rate_hz=rate_hz,
        seconds=len(heard_v) / rate_hz - click_at_s,
        click_peak_v=click_peak_v,
        band_hz=band_hz,
        reference_hz=reference_hz,
        threshold_db=threshold_db,
        arrivals=tuple(
            listener.arrival(number, gate, at_s, at_s - times_s[0])
            for number, (gate, at_s) in enumerate(zip(found, times_s, strict=True), start=1)
        ),
        remarks=troubles or _warnings(found, energy, threshold_db),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Listener:
    """Figures of one arrival, given the noise of a quiet stretch: its frames and its energy by frequency."""

    heard_v: FloatArray
    rate_hz: float
    click_peak_v: float
    reference_hz: float
    quiet_frames: int
    noise: FloatArray

    @classmethod
    def of(
        cls,
        heard_v: FloatArray,
        energy: FloatArray,
        rate_hz: float,
        click_peak_v: float,
        reference_hz: float,
    ) -> "_Listener":
        frames = min(round(_QUIET_S * rate_hz), max(1, len(energy) // 8))
        return cls(
            heard_v=heard_v,
            rate_hz=rate_hz,
            click_peak_v=click_peak_v,
            reference_hz=reference_hz,
            quiet_frames=frames,
            noise=density(quiet_part(heard_v, energy, frames), rate_hz)[1],
        )

    def arrival(self, number: int, gate: Gate, time_s: float, after_first_s: float) -> Arrival:
        part_v = self.heard_v[gate.first : gate.last]
        hz, power = density(part_v, self.rate_hz)
        power = power / self.click_peak_v**2
        noise = np.interp(hz, np.linspace(0, self.rate_hz / 2, len(self.noise)), self.noise)
        noise = noise * (len(part_v) / self.quiet_frames / self.click_peak_v**2)
        half = 2**0.5
        return Arrival(
            number=number,
            time_s=time_s,
            after_first_s=after_first_s,
            gain_db=_gain_db(hz, power, noise, audio_band_hz(self.rate_hz)),
            octaves_db=tuple(_gain_db(hz, power, noise, (at / half, at * half)) for at in OCTAVES_HZ),
            reference_db=self._reference_db(part_v, noise[np.searchsorted(hz, self.reference_hz)]),
            apart=gate.apart,
        )

    def _reference_db(self, part_v: FloatArray, noise: float) -> float | None:
        turn = -2j * np.pi * self.reference_hz / self.rate_hz * np.arange(len(part_v))
        size = abs(complex(part_v @ np.exp(turn))) / self.click_peak_v
        return decibels(size) if size**2 > _CLEAR * noise else None


def _gain_db(
    hz: FloatArray, power: FloatArray, noise: FloatArray, band_hz: tuple[float, float]
) -> float | None:
    inside = (hz >= band_hz[0]) & (hz < band_hz[1])
    if not inside.any() or power[inside].sum() <= _CLEAR * noise[inside].sum():
        return None
    return decibels(float(np.sqrt(power[inside].mean())))


def _warnings(found: tuple[Gate, ...], energy: FloatArray, threshold_db: float) -> tuple[str, ...]:
    told = []
    if floor_db(energy) > threshold_db - 10:
        told.append(f"noise at {floor_db(energy):.0f} dB hides weaker arrivals")
    close = sum(not gate.apart for gate in found)
    if close:
        told.append(f"{close} of {len(found)} arrivals run into a neighbour")
    return tuple(told)
