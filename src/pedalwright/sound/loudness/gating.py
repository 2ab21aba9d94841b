"""The gates of the loudness measure: quiet stretches do not count.

Source: Recommendation ITU-R BS.1770-4 (10/2015), annex 1, equations (2) to (7).
"""

import numpy as np

from pedalwright.solve.arrays import FloatArray

OFFSET_LU = -0.691
ABSOLUTE_GATE_LUFS = -70.0
RELATIVE_GATE_LU = -10.0


def lufs_of(mean_squares: FloatArray) -> FloatArray:
    """Loudness [LUFS] of K-weighted mean squares, summed over the channels; nothing gives minus infinity."""
    with np.errstate(divide="ignore"):
        return OFFSET_LU + 10 * np.log10(mean_squares)


def gated_lufs(mean_squares: FloatArray) -> float:
    """Integrated loudness [LUFS] from the mean squares of overlapping blocks (blocks,) of 0.4 s.

    Minus infinity when no block is above the absolute gate.
    """
    loudness = lufs_of(mean_squares)
    heard = mean_squares[loudness > ABSOLUTE_GATE_LUFS]
    if not len(heard):
        return float("-inf")
    gate = float(lufs_of(heard.mean())) + RELATIVE_GATE_LU
    kept = heard[lufs_of(heard) > gate]
    return float(lufs_of(kept.mean()))
