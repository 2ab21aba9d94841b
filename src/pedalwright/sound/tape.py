"""Sound kept in a nameless file while it is worked on: an hour takes no more memory than a second."""

import tempfile
from collections.abc import Iterator
from pathlib import Path
from types import TracebackType
from typing import Self

import numpy as np

from pedalwright.solve.arrays import FloatArray

BLOCK_FRAMES = 65536
_KEPT_AS = np.dtype("<f4")
"""single precision: its rounding is 150 dB below the sound"""


class Tape:
    """Frames of `channels` samples, added at the end and read from anywhere; the file goes when it is closed.

    It lies in `folder`, where the finished sound will lie, so that there is room for one if there is for the
    other. Where the system allows it, it never has a name, so that nothing stays behind whatever happens.
    """

    def __init__(self, folder: Path, channels: int) -> None:
        self.channels = channels
        self.frames = 0
        self._file = tempfile.TemporaryFile(prefix=".pedalwright.", dir=folder)  # noqa: SIM115

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, problem: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file."""
        self._file.close()

    def add(self, block: FloatArray) -> None:
        """Put (frames, channels) at the end. Raises OSError when there is no room for it."""
        self._file.seek(self.frames * self.channels * _KEPT_AS.itemsize)
        self._file.write(np.ascontiguousarray(block, dtype=_KEPT_AS).data)
        self.frames += len(block)

    def cut(self, frames: int) -> None:
        """Keep the first frames only."""
        self.frames = min(self.frames, frames)

    def read(self, start: int, frames: int) -> FloatArray:
        """(frames, channels) from a place on; zeros where there is nothing, before as well as after."""
        found = np.zeros((frames, self.channels))
        first, last = max(start, 0), min(start + frames, self.frames)
        if last > first:
            self._file.seek(first * self.channels * _KEPT_AS.itemsize)
            held = self._file.read((last - first) * self.channels * _KEPT_AS.itemsize)
            found[first - start : last - start] = np.frombuffer(held, _KEPT_AS).reshape(-1, self.channels)
        return found

    def blocks(self) -> Iterator[FloatArray]:
        """All of it, from the beginning, in blocks of at most BLOCK_FRAMES."""
        for start in range(0, self.frames, BLOCK_FRAMES):
            yield self.read(start, min(BLOCK_FRAMES, self.frames - start))
