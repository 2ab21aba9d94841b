"""More steps a second than frames: up before the circuit, down after it, in time and of the same length."""

from typing import Any

import numpy as np

from pedalwright.solve.arrays import FloatArray

LATE_FRAMES = 2048
"""what both resamplers together may keep waiting: measured at most 1954 frames, at 8 times and any block
length"""
CHOICES = (1, 2, 4, 8)


class Oversampler:
    """Both resamplers of one channel and what waits in them.

    They are of very high quality (soxr), their own delay taken out.
    """

    def __init__(self, rate_hz: int, times: int) -> None:
        self.times = times
        self.latency_frames = LATE_FRAMES
        self._up, self._down = _stream(rate_hz, times, up=True), _stream(rate_hz, times, up=False)
        self._waiting = np.zeros(LATE_FRAMES)

    def up(self, frames: FloatArray) -> FloatArray:
        """What comes out of the first resampler for some more frames; rarely just `times` as many."""
        return frames if self._up is None else _pushed(self._up, frames)

    def down(self, steps: FloatArray, frames: int) -> FloatArray:
        """The next `frames` frames, with what the steps add to those waiting."""
        more = steps if self._down is None else _pushed(self._down, steps)
        waiting = np.concatenate([self._waiting, more])
        self._waiting = waiting[frames:]
        return waiting[:frames]


def _stream(rate_hz: int, times: int, *, up: bool) -> Any:
    if times == 1:
        return None
    import soxr

    rates = (rate_hz, rate_hz * times) if up else (rate_hz * times, rate_hz)
    return soxr.ResampleStream(*rates, 1, dtype="float64", quality="VHQ")


def _pushed(stream: Any, samples: FloatArray) -> FloatArray:
    chunk = np.ascontiguousarray(samples, dtype=np.float64)[:, None]
    return np.asarray(stream.resample_chunk(chunk))[:, 0]
