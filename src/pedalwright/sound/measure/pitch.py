"""Pitch of a tone against time: what chorus, vibrato and a moving delay do to it.

The phase of the analytic signal of the tone's band (D. Gabor, Theory of communication, J. IEE 93, 429-457,
1946, from memory); its slope over one step of the answer.
"""

from dataclasses import dataclass

import numpy as np

from pedalwright.formulas.modulation import cents
from pedalwright.solve.arrays import BoolArray, FloatArray
from pedalwright.sound.measure.signals import obstacles
from pedalwright.sound.measure.spectrum import analytic_signal
from pedalwright.sound.measure.tone_fit import fit_tone

_WEAKEST = 0.03
"""where the tone is weaker than this against its median, cancellation decides the phase"""
_EDGE_CYCLES = 24
_LEAST_CYCLES = 80


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PitchDeviation:
    """Interval in cents against `tone_hz` (times,) at `time_s`, believed where `valid`.

    The step of time averages, so movement much faster than `steps_hz` is not shown.
    """

    rate_hz: float
    tone_hz: float
    band_hz: tuple[float, float]
    steps_hz: float
    time_s: FloatArray
    deviation_cents: FloatArray
    valid: BoolArray
    highest_cents: float | None = None
    lowest_cents: float | None = None
    mean_cents: float | None = None
    remarks: tuple[str, ...] = ()


def pitch_deviation(
    signal_v: FloatArray,
    rate_hz: float,
    *,
    tone_hz: float | None = None,
    steps_hz: float = 500.0,
    width_octaves: float = 1.0,
) -> PitchDeviation:
    """Pitch of one tone in a finished signal (frames,) [V], against `tone_hz` or the tone found."""
    troubles = obstacles(signal_v, least_frames=256)
    if not troubles and tone_hz is None:
        tone_hz = fit_tone(signal_v, rate_hz, orders=1).frequency_hz
    tone_hz = tone_hz or 0.0
    if not troubles and not 0 < tone_hz * len(signal_v) / rate_hz >= _LEAST_CYCLES:
        troubles = (f"too short: {_LEAST_CYCLES} cycles of the tone are needed",)
    half = 2 ** (width_octaves / 2)
    band_hz = (tone_hz / half, tone_hz * half)
    if troubles:
        return _record(rate_hz, tone_hz, band_hz, steps_hz, np.zeros((3, 0)), troubles)
    tone = analytic_signal(signal_v, rate_hz, band_hz)
    return _record(rate_hz, tone_hz, band_hz, steps_hz, _steps(tone, rate_hz, tone_hz, steps_hz), ())


def _steps(tone: np.ndarray, rate_hz: float, tone_hz: float, steps_hz: float) -> FloatArray:
    """Rows of time [s], deviation [cent] and belief (0 or 1), one column a step."""
    hop = max(1, round(rate_hz / steps_hz))
    edges = np.arange(0, len(tone), hop)
    phase = np.unwrap(np.angle(tone))
    heard_hz = np.diff(phase[edges]) * rate_hz / (2 * np.pi * hop)
    size = np.abs(tone)
    weakest = np.minimum.reduceat(size, edges)[: len(heard_hz)]
    time_s = (edges[:-1] + hop / 2) / rate_hz
    edge_s = _EDGE_CYCLES / tone_hz
    inside = (time_s > edge_s) & (time_s < len(tone) / rate_hz - edge_s)
    believed = inside & (weakest > _WEAKEST * np.median(size)) & (heard_hz > 0)
    deviation = np.asarray(cents(np.maximum(heard_hz, 1e-9) / tone_hz))
    return np.array([time_s, deviation, believed])


def _record(
    rate_hz: float,
    tone_hz: float,
    band_hz: tuple[float, float],
    steps_hz: float,
    steps: FloatArray,
    troubles: tuple[str, ...],
) -> PitchDeviation:
    valid = steps[2] > 0
    heard = steps[1][valid]
    if not troubles and len(heard) < len(valid) / 2:
        troubles = ("the tone is too weak or cancelled for most of the time",)
    elif not troubles and _missing(valid) > 0:
        troubles = (f"the tone is cancelled or too weak at {_missing(valid)} of {len(valid)} moments",)
    known = len(heard) >= max(1, len(valid) / 2)
    return PitchDeviation(
        rate_hz=rate_hz,
        tone_hz=tone_hz,
        band_hz=band_hz,
        steps_hz=steps_hz,
        time_s=steps[0],
        deviation_cents=steps[1],
        valid=valid,
        highest_cents=float(heard.max()) if known else None,
        lowest_cents=float(heard.min()) if known else None,
        mean_cents=float(heard.mean()) if known else None,
        remarks=troubles,
    )


def _missing(valid: BoolArray) -> int:
    """Moments not believed between the first and the last that are."""
    at = np.flatnonzero(valid)
    return int(at[-1] - at[0] + 1 - len(at)) if len(at) else len(valid)
