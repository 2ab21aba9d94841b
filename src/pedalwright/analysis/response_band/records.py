"""The band of a response as data."""

from dataclasses import dataclass

import numpy as np

from pedalwright.solve.arrays import FloatArray

PERCENTS = (5.0, 50.0, 95.0)
"""of the builds that stay below the low end, the middle and the high end of a band"""
BUILDS, FEWEST_BUILDS, MOST_BUILDS = 400, 20, 20_000
"""at 400 builds the 5 % end stands for 3.3 to 7.6 % of all builds there could be (Wilson interval, 95 %)"""
ENOUGH = 0.95
"""share of the builds that must be certified for a band to be told"""


class BandRefused(Exception):
    """A band that is not told; the text says why."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LevelBand:
    """Between which levels nine tenths of all builds lie, at each frequency by itself.

    `low_db`, `median_db`, `high_db` (frequencies,) are the levels [dB] that 5, 50 and 95 % of the certified
    builds stay below; minus infinity where nothing arrives. `builds` were drawn from `seed`, `certified` of
    them count. `conditions` are sentences.
    """

    frequency_hz: FloatArray
    low_db: FloatArray
    median_db: FloatArray
    high_db: FloatArray
    builds: int
    certified: int
    seed: int
    conditions: tuple[str, ...] = ()

    @property
    def certified_share(self) -> float:
        """The share of the builds that could be certified, 0.95 to 1."""
        return self.certified / self.builds

    @property
    def name(self) -> str:
        """What a legend calls it."""
        return f"5 to 95 % of {self.builds} builds, seed {self.seed}"

    def beyond_db(self, level_db: FloatArray) -> FloatArray:
        """By how much levels (frequencies,) lie above the band, or, negative, below it [dB]; 0 inside, and
        where either is silent.
        """
        with np.errstate(invalid="ignore"):
            above, below = level_db - self.high_db, level_db - self.low_db
        found = np.where(above > 0, above, np.where(below < 0, below, 0.0))
        return np.where(np.isfinite(found), found, 0.0)
