"""What was heard of a sound: its loudness and its peaks."""

import math
from dataclasses import dataclass
from enum import Enum

from pedalwright.units.levels import db_of_ratio


class Measured(Enum):
    """How the loudness was come by."""

    GATED = "measured with the gates of BS.1770"
    WHOLE = "shorter than 0.4 s: the mean over its whole length, without gates"
    TOO_QUIET = "below the gate of the standard at -70 LUFS: not measured"
    SILENT = "silent"


@dataclass(frozen=True, slots=True, kw_only=True)
class Loudness:
    """A sound as heard. `lufs` [LUFS] is minus infinity unless it `is_known`.

    `sample_peak` and `true_peak` are the largest value of a sample and of the sound between the samples, as a
    share of full scale.
    """

    lufs: float
    measured: Measured
    sample_peak: float
    true_peak: float
    seconds: float

    @property
    def is_known(self) -> bool:
        """Whether there is a loudness."""
        return math.isfinite(self.lufs)

    @property
    def true_peak_dbtp(self) -> float:
        """The true peak [dBTP]; minus infinity for silence."""
        return db_of_ratio(self.true_peak)
