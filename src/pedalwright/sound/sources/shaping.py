"""What every source does with its volts: begin and end without a click, reach the stated level, change the
rate.
"""

import numpy as np

from pedalwright.solve.arrays import FloatArray


def frames_of(seconds: float, rate_hz: float) -> int:
    """Whole frames in a time, at least one."""
    return max(1, round(seconds * rate_hz))


def faded(volts: FloatArray, rate_hz: float, *, in_s: float, out_s: float) -> FloatArray:
    """The sound (frames,) with a raised-cosine beginning and end; neither takes more than a third of it."""
    shaped = volts.copy()
    third = len(volts) // 3
    rise = _rising(min(round(in_s * rate_hz), third))
    fall = _rising(min(round(out_s * rate_hz), third))[::-1]
    shaped[: len(rise)] *= rise
    shaped[len(shaped) - len(fall) :] *= fall
    return shaped


def _rising(frames: int) -> FloatArray:
    """From nothing to one: half a period of a raised cosine, both ends left out."""
    return 0.5 - 0.5 * np.cos(np.pi * np.arange(1, frames + 1) / (frames + 1))


def at_peak(volts: FloatArray, level_v: float) -> FloatArray:
    """The sound (frames,) scaled so that its largest value lies `level_v` from zero; silence stays so."""
    largest = float(np.abs(volts).max(initial=0.0))
    return volts * (level_v / largest) if largest > 0 else volts


def at_rate(volts: FloatArray, from_hz: float, to_hz: float, frames: int) -> FloatArray:
    """The sound (frames,) at another rate, of exactly `frames` frames, in time with the first one."""
    if from_hz == to_hz:
        converted = volts
    else:
        import soxr

        converted = np.asarray(soxr.resample(volts, from_hz, to_hz, quality="VHQ"), dtype=np.float64)
    missing = frames - len(converted)
    return np.pad(converted, (0, missing)) if missing > 0 else converted[:frames]
