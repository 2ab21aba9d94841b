"""What is asked for when a circuit is to be heard, and what came of it: plain records."""

from dataclasses import dataclass, field
from enum import Enum
from pathlib import Path

from pedalwright.sound.looking import Looks
from pedalwright.sound.measured import Measured

DEFAULT_SOUND = "chord:Am"
FULL_SCALE_V = 1.0
"""volts at the output jack that are full scale in the file, before anything is turned down"""
OVERSAMPLINGS = (1, 2, 4, 8)
GAP_S = 0.7
"""of silence between two takes in one file"""


class Ending(Enum):
    """Why a take ends where it does."""

    DIED = "died"
    CUT = "cut"
    ASKED = "asked"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What is to be heard. Seconds and volts; None leaves it to the program.

    `sound` is a built-in sound (``pluck:E2``) or the name of a sound file. `moves` and `swings` are sentences
    such as ``TIME 3 7 over 4s`` and ``TIME 4 6 every 2s``. `level_v` is the largest value at the input jack.
    `mono` mixes several channels into one. `seed` is the throw of the dice for the noise of echo chips in the
    first channel; the next channel has the next.
    """

    sound: str = DEFAULT_SOUND
    level_v: float | None = None
    moves: tuple[str, ...] = ()
    swings: tuple[str, ...] = ()
    seconds: float | None = None
    tail_s: float | None = None
    oversampling: int | None = None
    power_on: bool = False
    mono: bool = False
    with_bypass: bool = False
    two_files: bool = False
    measure: bool = False
    picture: bool = False
    seed: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeLevel:
    """How loud something is: volts at a jack, and loudness as ITU-R BS.1770 counts it with 1 V as full scale.

    `loudness_lufs` is None for what is too short or too quiet to have one.
    """

    peak_v: float
    rms_v: float
    loudness_lufs: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Take:
    """One sound through one circuit: how loud it came out, and where in which file it is.

    `gain_db` is what the file has against 1 V as full scale, `start_s` where in the file it begins, `tail_s`
    how long it rang on behind the sound, `replaced` whether a file of that name stood there before.
    """

    label: str
    output: TakeLevel
    seconds: float
    ending: Ending
    gain_db: float
    file: Path
    start_s: float
    tail_s: float
    replaced: bool = False
    remarks: tuple[str, ...] = ()
    measured: Measured | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """All that came of a wish. `source_says` is what drives the input jack, in words."""

    title: str
    text_sha256: str
    settings: tuple[tuple[str, str], ...]
    sound: str
    channels: int
    source_says: str
    input: TakeLevel
    takes: tuple[Take, ...]
    seed: int
    moved: tuple[str, ...] = ()
    matched: bool = False
    remarks: tuple[str, ...] = ()
    looks: Looks | None = None
    repeats: tuple[tuple[float, str], ...] = field(default=())

    @property
    def files(self) -> tuple[Path, ...]:
        """Every file written, once."""
        return tuple(dict.fromkeys(take.file for take in self.takes))
