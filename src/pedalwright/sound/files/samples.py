"""From floating-point sound to the whole numbers of a file.

To 16 bits the rounding is dithered: without it the error of a dying echo follows the sound and is heard as
distortion. Two throws of the dice, triangular over plus and minus one step, leave an even noise instead,
4.8 dB above that of rounding alone (S. P. Lipshitz, R. A. Wannamaker, J. Vanderkooy, "Quantization and
Dither: A Theoretical Survey", JAES 40(5), 1992; from memory). It goes on through silence, since noise that
comes and goes is heard. To 24 bits there is no dither: the steps lie 144 dB down, below the noise of
anything a sound is played with, and silence stays silence.
"""

from enum import Enum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pedalwright.solve.arrays import FloatArray


class Depth(Enum):
    """How samples are kept: the library's word, and the bytes of one."""

    BITS_16 = ("PCM_16", 2)
    BITS_24 = ("PCM_24", 3)
    FLOAT = ("FLOAT", 4)

    @property
    def subtype(self) -> str:
        """The library's word."""
        return self.value[0]

    @property
    def sample_bytes(self) -> int:
        """Bytes of one sample."""
        return self.value[1]


def as_kept(block: FloatArray, depth: Depth, dice: np.random.Generator) -> NDArray[Any]:
    """A block, full scale one, as the numbers given to the library; what lies beyond full scale is clipped.

    float32, int16, or int32 with 24 bits in its upper part. Floats are not clipped.
    """
    if depth is Depth.FLOAT:
        return block.astype(np.float32)
    if depth is Depth.BITS_16:
        steps = block * 2.0**15 + (dice.random(block.shape) - dice.random(block.shape))
        return np.clip(np.rint(steps), -(2**15), 2**15 - 1).astype(np.int16)
    steps = np.clip(np.rint(block * 2.0**23), -(2**23), 2**23 - 1)
    return steps.astype(np.int32) << 8
