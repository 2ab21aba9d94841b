"""Corners of a response: where its level has fallen 3 dB from the reference level, and its highest point."""

from dataclasses import dataclass
from math import log10

import numpy as np
from numpy.typing import NDArray

from pedalwright.solve.local_fit import crossing_hz

ComplexArray = NDArray[np.complex128]
FloatArray = NDArray[np.float64]
HEARD_HZ = (20.0, 20_000.0)
FALL_DB = 3.0103
"""half the power"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Corners:
    """Reference level with its frequency, and the -3 dB corners on both sides (None: beyond the curve)."""

    reference_hz: float
    reference_db: float
    low_hz: float | None
    high_hz: float | None


def find_corners(frequency_hz: FloatArray, gain: ComplexArray, reference_hz: float) -> Corners | None:
    """Corners of a response sampled evenly by ratio; None when it is not all finite or nowhere above nothing.

    The reference level is the one at `reference_hz`, unless the response is more than 3 dB higher elsewhere
    within
    hearing: then it is the highest there.
    """
    size = np.abs(gain)
    if not np.all(np.isfinite(size)) or not np.all(size > 0):
        return None
    level_db = 20 * np.log10(size)
    start = int(np.argmin(np.abs(np.log(frequency_hz / reference_hz))))
    heard = (frequency_hz >= HEARD_HZ[0]) & (frequency_hz <= HEARD_HZ[1])
    peak = int(np.argmax(np.where(heard, level_db, -np.inf)))
    if level_db[peak] - level_db[start] > FALL_DB:
        start = peak
    bound = float(level_db[start] - FALL_DB)
    return Corners(
        reference_hz=float(frequency_hz[start]),
        reference_db=float(level_db[start]),
        low_hz=_crossing(frequency_hz, gain, level_db, bound, range(start, 0, -1), -1),
        high_hz=_crossing(frequency_hz, gain, level_db, bound, range(start, len(level_db) - 1), 1),
    )


def _crossing(
    frequency_hz: FloatArray, gain: ComplexArray, level_db: FloatArray, bound: float, places: range, step: int
) -> float | None:
    """The first crossing of the bound on the way out from the reference."""
    for place in places:
        if level_db[place + step] <= bound:
            left = min(place, place + step)
            return crossing_hz(
                frequency_hz, gain, left, lambda value: 20 * log10(abs(value) or 1e-300) - bound
            )
    return None
