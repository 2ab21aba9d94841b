"""How many bits a second the clock takes in, from the delay it is to make."""

import numpy as np
from numpy.typing import ArrayLike

from pedalwright.echo.one_bit import constants
from pedalwright.solve.arrays import FloatArray


def bit_rate(
    delay_s: ArrayLike, lag_s: float = 0.0, *, memory_bits: int = constants.MEMORY_BITS
) -> FloatArray:
    """Bits a second so that sound comes out a whole delay after it went in.

    delay_s: from pin 15 to pin 12, any shape [s]; times the unit's `delay_factor`, if it has one
    lag_s: by how much the engine hands the coder its input late, part of the delay [s]

    0 (the clock stands still) for a delay that is no number, endless, or not longer than the lag.
    """
    left = np.asarray(delay_s, dtype=float) - lag_s
    with np.errstate(all="ignore"):
        return np.asarray(np.where((left > 0) & np.isfinite(left), memory_bits / left, 0.0))
