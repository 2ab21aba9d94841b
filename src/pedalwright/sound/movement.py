"""What knobs and switches do while a sound plays: glides by hand, slow swings, flips of a switch."""

from dataclasses import dataclass
from enum import Enum

import numpy as np

from pedalwright.solve.arrays import FloatArray

BYPASS = "BYPASS"
"""the foot switch around the whole pedal, for circuits that have nothing of that name themselves"""
ENGAGED, BYPASSED = "engaged", "bypassed"


class Shape(Enum):
    """The way a swing goes to and fro."""

    SINE = "sine"
    TRIANGLE = "triangle"


@dataclass(frozen=True, slots=True, kw_only=True)
class Glide:
    """A knob turned evenly from `first` to `last` (0 to 10) in `over_s` from `start_s` on; 0 s is at once."""

    first: float
    last: float
    start_s: float
    over_s: float

    @property
    def end_s(self) -> float:
        """When the knob has arrived."""
        return self.start_s + self.over_s


@dataclass(frozen=True, slots=True, kw_only=True)
class Swing:
    """A knob swinging for ever between `low` and `high` (0 to 10), once to and fro in `period_s`.

    It begins halfway and goes towards `high`.
    """

    low: float
    high: float
    period_s: float
    shape: Shape = Shape.SINE

    def positions(self, time_s: FloatArray) -> FloatArray:
        """Where the knob stands at each time."""
        turns = time_s / self.period_s
        if self.shape is Shape.SINE:
            wave = np.sin(2 * np.pi * turns)
        else:
            wave = 1.0 - 4.0 * np.abs((turns + 0.25) % 1.0 - 0.5)
        return np.asarray((self.low + self.high) / 2 + (self.high - self.low) / 2 * wave)


@dataclass(frozen=True, slots=True, kw_only=True)
class KnobMovement:
    """All that one knob does: it stands at `stands_at`, and then either glides or swings.

    `glides` follow each other in time without overlapping.
    """

    ref: str
    stands_at: float
    glides: tuple[Glide, ...] = ()
    swing: Swing | None = None

    def positions(self, time_s: FloatArray) -> FloatArray:
        """Where the knob stands (0 to 10) at each of the times in seconds; shapes alike."""
        time_s = np.asarray(time_s, dtype=np.float64)
        if self.swing is not None:
            return self.swing.positions(time_s)
        found = np.full(time_s.shape, self.stands_at)
        for glide in self.glides:
            begun = time_s >= glide.start_s
            # A glide in no time has arrived when it begins.
            share = np.clip((time_s - glide.start_s) / glide.over_s, 0.0, 1.0) if glide.over_s else 1.0
            found = np.where(begun, glide.first + (glide.last - glide.first) * share, found)
        return found

    @property
    def span(self) -> tuple[float, float]:
        """The lowest and the highest position it ever has."""
        if self.swing is not None:
            ends = [self.swing.low, self.swing.high]
        else:
            ends = [end for glide in self.glides for end in (glide.first, glide.last)]
            ends += [] if self.glides and self.glides[0].start_s == 0.0 else [self.stands_at]
        return min(ends), max(ends)

    @property
    def moves_until_s(self) -> float:
        """From when on it stands still; infinite for a swing."""
        if self.swing is not None:
            return np.inf
        return max((glide.end_s for glide in self.glides), default=0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Flip:
    """A switch brought to a position at a time."""

    position: str
    at_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SwitchMovement:
    """All that one switch does: it stands at `stands_at` until its `flips`, which are in order of time."""

    ref: str
    stands_at: str
    flips: tuple[Flip, ...] = ()

    def position(self, time_s: float) -> str:
        """The position at a time in seconds."""
        past = [flip.position for flip in self.flips if flip.at_s <= time_s]
        return past[-1] if past else self.stands_at

    def among(self, name: str, time_s: FloatArray) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
        """Whether it stands at the named position, at each of the times."""
        time_s = np.asarray(time_s, dtype=np.float64)
        found = np.full(time_s.shape, self.stands_at == name)
        for flip in self.flips:
            found = np.where(time_s >= flip.at_s, flip.position == name, found)
        return found

    @property
    def moves_until_s(self) -> float:
        """When it is flipped for the last time."""
        return max((flip.at_s for flip in self.flips), default=0.0)


Movement = KnobMovement | SwitchMovement
