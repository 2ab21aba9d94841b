"""The largest value of a sound between its samples.

Source: ITU-R BS.1770-4, annex 2: the sound at four times the rate. The filter is soxr's, which is even
further up than the one of the annex, and like it linear in phase.
"""

import numpy as np

from pedalwright.solve.arrays import FloatArray

FINE_ENOUGH_HZ = 160_000.0
"""between samples as dense as this nothing is missed"""
_MOST_TIMES = 4


class PeakMeter:
    """Sample peak and true peak of a stream of blocks (frames, channels), over all channels."""

    def __init__(self, rate_hz: float, channels: int) -> None:
        import soxr

        self.sample_peak = 0.0
        self._between = 0.0
        self._channels = channels
        times = next((times for times in (1, 2) if times * rate_hz >= FINE_ENOUGH_HZ), _MOST_TIMES)
        self._finer = (
            soxr.ResampleStream(1, times, channels, dtype="float64", quality="VHQ") if times > 1 else None
        )

    def take(self, block: FloatArray) -> None:
        """Hear the next block."""
        self.sample_peak = max(self.sample_peak, _largest(block))
        if self._finer is not None and len(block):
            self._between = max(
                self._between, _largest(self._finer.resample_chunk(np.ascontiguousarray(block)))
            )

    def true_peak(self) -> float:
        """The true peak of all that was heard; never below the sample peak. Nothing can be heard
        afterwards.
        """
        if self._finer is not None:
            rest = self._finer.resample_chunk(np.zeros((0, self._channels)), last=True)
            self._between = max(self._between, _largest(rest))
            self._finer = None
        return max(self.sample_peak, self._between)


def _largest(block: FloatArray) -> float:
    return float(np.abs(block).max(initial=0.0))
