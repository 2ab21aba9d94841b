"""Corners of a level curve: where it has fallen 3 dB from its reference level, and its peak."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
FALL_DB = 3.0103
"""half the power"""
FINE = 16
"""points put between two of the curve's own by cubic interpolation"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Corners:
    """Reference level with its frequency, the -3 dB corners on both sides (None: beyond the curve), and the peak."""

    reference_hz: float
    reference_db: float
    low_hz: float | None
    high_hz: float | None
    peak_hz: float
    peak_db: float


def find_corners(frequency_hz: FloatArray, level_db: FloatArray, reference_hz: float) -> Corners | None:
    """Corners of a curve sampled evenly by ratio; None when the curve is not all finite.

    The reference level is the one at `reference_hz`, unless the curve is more than 3 dB higher elsewhere: then the peak's.
    """
    if not np.all(np.isfinite(level_db)):
        return None
    position, fine_db = _refine(np.log(frequency_hz), level_db)
    peak = int(np.argmax(fine_db))
    start = int(np.argmin(np.abs(position - np.log(reference_hz))))
    if fine_db[peak] - fine_db[start] > FALL_DB:
        start = peak
    bound = fine_db[start] - FALL_DB
    return Corners(
        reference_hz=float(np.exp(position[start])),
        reference_db=float(fine_db[start]),
        low_hz=_crossing(position[: start + 1][::-1], fine_db[: start + 1][::-1], bound),
        high_hz=_crossing(position[start:], fine_db[start:], bound),
        peak_hz=float(np.exp(position[peak])),
        peak_db=float(fine_db[peak]),
    )


def _refine(position: FloatArray, level_db: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Cubic (four-point Lagrange) interpolation of evenly spaced points."""
    steps = np.arange(0, (len(position) - 1) * FINE + 1) / FINE
    base = np.clip(np.floor(steps).astype(int) - 1, 0, len(position) - 4)
    t = steps - base
    weights = (
        -(t - 1) * (t - 2) * (t - 3) / 6,
        t * (t - 2) * (t - 3) / 2,
        -t * (t - 1) * (t - 3) / 2,
        t * (t - 1) * (t - 2) / 6,
    )
    fine = sum(weight * level_db[base + place] for place, weight in enumerate(weights))
    return position[0] + steps * (position[1] - position[0]), np.asarray(fine)


def _crossing(position: FloatArray, level_db: FloatArray, bound: float) -> float | None:
    below = np.flatnonzero(level_db <= bound)
    if not len(below) or below[0] == 0:
        return None
    after = int(below[0])
    high, low = level_db[after - 1], level_db[after]
    share = (high - bound) / (high - low)
    return float(np.exp(position[after - 1] + share * (position[after] - position[after - 1])))
