"""Peak and effective value of a sound taken while it streams by."""

import numpy as np

from pedalwright.solve.arrays import FloatArray


class Gauge:
    """Told of every block (frames, channels) in volts, it knows the largest swing and the effective value."""

    def __init__(self) -> None:
        self.peak_v = 0.0
        self._squares = 0.0
        self._samples = 0

    def hear(self, block_v: FloatArray) -> None:
        """Take note of a block."""
        if block_v.size:
            self.peak_v = max(self.peak_v, float(np.abs(block_v).max()))
            self._squares += float(np.sum(np.square(block_v)))
            self._samples += block_v.size

    @property
    def rms_v(self) -> float:
        """The effective value of all heard so far, all channels together; 0 for nothing."""
        return float(np.sqrt(self._squares / self._samples)) if self._samples else 0.0
