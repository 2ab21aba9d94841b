"""Gains that make sounds equally loud, and none of them louder than is safe."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from pedalwright.sound.loudness.records import Loudness
from pedalwright.units.levels import db_of_ratio, ratio_of_db


@dataclass(frozen=True, slots=True, kw_only=True)
class Ceiling:
    """What a sound written for listening never exceeds.

    The usual figures are those for streams of sound in AES TD1004.1.15-10 (2015; from memory): peaks up to
    -1 dBTP, loudness up to -16 LUFS. A loudness of infinity leaves the peak alone as the limit.
    """

    peak_dbtp: float = -1.0
    loudest_lufs: float = -16.0

    def room_db(self, heard: Loudness) -> float:
        """How far [dB] a sound may be raised; negative when it has to be lowered; infinite for silence.

        A loudness that is not known does not limit: the peak does.
        """
        room = self.peak_dbtp - heard.true_peak_dbtp
        return min(room, self.loudest_lufs - heard.lufs) if heard.is_known else room


SAFE = Ceiling()


class Match(Enum):
    """How far sounds could be made equally loud."""

    EQUAL = "All are equally loud."
    SAME_GAIN = "Not all have a loudness that can be measured, so all are raised or lowered alike."


@dataclass(frozen=True, slots=True, kw_only=True)
class Matched:
    """One gain [-] a sound, in their order, the loudness [LUFS] they then have (None when unequal), and
    how.
    """

    gains: tuple[float, ...]
    lufs: float | None
    how: Match


def safe_gain(heard: Loudness, wanted: float = math.inf, ceiling: Ceiling = SAFE) -> float:
    """The gain wanted, or the largest that stays below the ceiling; 1 for silence nothing is wanted of."""
    safe = min(wanted, ratio_of_db(ceiling.room_db(heard)))
    return safe if math.isfinite(safe) else 1.0


def gain_to(heard: Loudness, goal: Loudness) -> float | None:
    """The gain [-] that brings one sound to the loudness of another; None when either has none."""
    if not (heard.is_known and goal.is_known):
        return None
    return ratio_of_db(goal.lufs - heard.lufs)


def matched(sounds: Sequence[Loudness], ceiling: Ceiling = SAFE, *, wanted_lufs: float = math.inf) -> Matched:
    """Gains that make all sounds equally loud: `wanted_lufs`, or as loud as the ceiling allows for each of
    them.

    With a sound whose loudness is not known (silent, too quiet), all get one gain, the largest safe for all.
    """
    if all(heard.is_known for heard in sounds) and sounds:
        lufs = min(wanted_lufs, *(heard.lufs + ceiling.room_db(heard) for heard in sounds))
        gains = tuple(ratio_of_db(lufs - heard.lufs) for heard in sounds)
        return Matched(gains=gains, lufs=lufs, how=Match.EQUAL)
    gain = min((safe_gain(heard, ceiling=ceiling) for heard in sounds if heard.true_peak > 0), default=1.0)
    return Matched(gains=(gain,) * len(sounds), lufs=None, how=Match.SAME_GAIN)


def peak_after_dbtp(heard: Loudness, gain: float) -> float:
    """The true peak [dBTP] after a gain."""
    return heard.true_peak_dbtp + db_of_ratio(gain)
