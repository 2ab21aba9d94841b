"""Sound sent through players block by block: lined up with what went in, and let ring until it has died."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from pedalwright.solve.arrays import FloatArray

RATE_HZ = 48000
"""frames a second of everything played"""
BLOCK_FRAMES = 8192
"""short enough for a progress bar that moves, long enough to cost nothing"""
DIED_DB = -60.0
"""what is so far below the loudest has died away (ISO 3382 counts a reverberation to here)"""
QUIET_S = 1.5
"""it has to stay down for longer than the longest delay between two repeats"""
KEPT_S = 0.5
"""of the quiet is kept at the end"""
LONGEST_TAIL_S = 10.0


class Player(Protocol):
    """What plays one channel: volts at the input jack in, volts at the output jack out, state kept."""

    @property
    def latency_frames(self) -> int:
        """Whole frames by which the output lags."""
        ...

    @property
    def remarks(self) -> Sequence[str]:
        """What is to be said of the sound afterwards."""
        ...

    def play(self, in_v: FloatArray) -> FloatArray:
        """The next frames (frames,) through the circuit."""
        ...


@dataclass(slots=True)
class Tail:
    """How long the sound is let ring after its end: `wanted_s`, or until it has died, at most LONGEST_TAIL_S.

    Told of every block that comes out, it says whether to go on, and how many frames to keep in the end.
    """

    wanted_s: float | None = None
    loudest_v: float = 0.0
    heard_frames: int = 0
    last_loud: int = 0
    end: int = 0
    """frames the sound itself has"""

    def hear(self, out_v: FloatArray) -> None:
        """Take note of a block (frames, channels) that came out."""
        # What stands still is not heard: an offset at the output does not keep a sound alive.
        swing = np.abs(out_v - out_v.mean(axis=0)).max(axis=1) if len(out_v) else np.zeros(0)
        self.loudest_v = max(self.loudest_v, float(swing.max(initial=0.0)))
        loud = np.flatnonzero(swing > self.loudest_v * 10 ** (DIED_DB / 20))
        if len(loud):
            self.last_loud = self.heard_frames + int(loud[-1]) + 1
        self.heard_frames += len(out_v)

    @property
    def has_died(self) -> bool:
        """Whether it has been quiet for QUIET_S."""
        return self.heard_frames - self.last_loud >= QUIET_S * RATE_HZ

    @property
    def last_frame(self) -> int:
        """How many frames to play at most."""
        return self.end + round((LONGEST_TAIL_S if self.wanted_s is None else self.wanted_s) * RATE_HZ)

    @property
    def goes_on(self) -> bool:
        """Whether there is more to be heard behind the end of the sound."""
        rings = self.wanted_s is not None or not self.has_died
        return self.heard_frames < (self.last_frame if rings else self.end)

    @property
    def kept_frames(self) -> int:
        """How many of the frames heard are worth keeping."""
        if self.wanted_s is not None or not self.has_died:
            return self.heard_frames
        return min(self.heard_frames, max(self.end, self.last_loud + round(KEPT_S * RATE_HZ)))


def through(
    blocks: Iterable[FloatArray], players: Sequence[Player], tail: Tail
) -> Iterator[tuple[FloatArray, FloatArray]]:
    """What goes in, (frames, channels), and what comes out at the same moment, channel by channel.

    The sound is followed by silence as `tail` asks. The lag of the players is taken out.
    """
    line = _LinedUp(players)
    for whole in blocks:
        for block in _pieces(whole):
            tail.end += len(block)
            for pair in line.send(block):
                tail.hear(pair[1])
                yield pair
    silence = np.zeros((BLOCK_FRAMES, len(players)))
    while tail.goes_on:
        for in_v, out_v in line.send(silence):
            room = tail.last_frame - tail.heard_frames
            tail.hear(out_v[:room])
            yield in_v[:room], out_v[:room]


class _LinedUp:
    """Players of the same lag, beside each other, with their input kept back until its output is there."""

    def __init__(self, players: Sequence[Player]) -> None:
        self._players = players
        self._skip = max(player.latency_frames for player in players)
        self._waiting = np.zeros((0, len(players)))

    def send(self, in_v: FloatArray) -> Iterator[tuple[FloatArray, FloatArray]]:
        channels = [player.play(in_v[:, at].copy()) for at, player in enumerate(self._players)]
        out_v = np.stack(channels, axis=1)
        late = min(self._skip, len(out_v))
        self._skip -= late
        self._waiting = np.concatenate([self._waiting, in_v])
        out_v = out_v[late:]
        if len(out_v):
            due, self._waiting = self._waiting[: len(out_v)], self._waiting[len(out_v) :]
            yield due, out_v


def _pieces(whole: FloatArray) -> Iterator[FloatArray]:
    for start in range(0, len(whole), BLOCK_FRAMES):
        yield whole[start : start + BLOCK_FRAMES]
