"""A sound at another rate, block by block, in time with the first one and of exactly its length."""

from collections.abc import Iterable, Iterator
from fractions import Fraction

import numpy as np

from pedalwright.solve.arrays import FloatArray


def resampled(
    blocks: Iterable[FloatArray], from_hz: float, to_hz: float, channels: int
) -> Iterator[FloatArray]:
    """Blocks (frames, channels) at `from_hz` as blocks at `to_hz`.

    Frame 0 stays at time 0: the delay of the filter is taken out. The length is that of the sound, rounded
    to whole frames, and at least one. Even within 0.003 dB to 0.85 of the lower rate's half; what could fold
    back is 120 dB down (see the tests). Equal rates pass unchanged.
    """
    if from_hz == to_hz:
        yield from blocks
        return
    import soxr

    stream = soxr.ResampleStream(from_hz, to_hz, channels, dtype="float64", quality="VHQ")
    taken, given = 0, 0
    for block in blocks:
        taken += len(block)
        converted = stream.resample_chunk(np.ascontiguousarray(block))
        given += len(converted)
        if len(converted):
            yield converted
    last = stream.resample_chunk(np.zeros((0, channels)), last=True)
    missing = frames_at(taken, from_hz, to_hz) - given
    if missing > 0:
        yield _to_length(last, missing)


def frames_at(frames: int, from_hz: float, to_hz: float) -> int:
    """The length of a sound at another rate: rounded, a half up, and at least one frame unless there is
    none.
    """
    exact = frames * Fraction(to_hz) / Fraction(from_hz)
    return max(min(frames, 1), int(exact + Fraction(1, 2)))


def _to_length(last: FloatArray, frames: int) -> FloatArray:
    return np.pad(last[:frames], ((0, max(0, frames - len(last))), (0, 0)))
