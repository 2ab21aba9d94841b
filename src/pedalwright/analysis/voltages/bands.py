"""Low, typical and high of every net at rest over many builds of one circuit: cheap, and without a meter."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.voltages.measured_nets import at_measured, checked
from pedalwright.analysis.voltages.population import BRIEF, Population, solve
from pedalwright.analysis.voltages.spreads import SEED, Draws, drawn
from pedalwright.solve.arrays import FloatArray

BUILDS = 1000
MOST_BUILDS = 20_000
ENOUGH = 0.9
"""share of the builds that must be certified for bands to be told"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """What one net reads [V]: `typical_v` in the circuit as written, `low_v` and `high_v` the lowest and
    highest of all builds, `deviation_v` their standard deviation.
    """

    low_v: float
    typical_v: float
    high_v: float
    deviation_v: float


@dataclass(frozen=True, kw_only=True, eq=False)
class RestingBands:
    """The bands of all nets. `volts` (builds, nets) holds the builds that were certified, the circuit as
    written first, its columns in the order of `nets`; `asked` is how many were built.
    """

    nets: tuple[str, ...]
    volts: FloatArray
    asked: int
    seed: int
    measured: Mapping[str, float] = field(default_factory=dict)

    @property
    def used(self) -> int:
        """How many builds were certified and count."""
        return len(self.volts)

    @cached_property
    def bands(self) -> Mapping[str, Band]:
        """The band of every net, by name."""
        low, high = self.volts.min(axis=0), self.volts.max(axis=0)
        deviation = self.volts.std(axis=0)
        return {
            net: Band(
                low_v=float(low[place]),
                typical_v=float(self.volts[0, place]),
                high_v=float(high[place]),
                deviation_v=float(deviation[place]),
            )
            for place, net in enumerate(self.nets)
        }


class TooFewBuilds(Exception):
    """Too many builds could not be solved for their bands to be told."""


def resting_bands(
    analysis: Analysis,
    *,
    measured: Mapping[str, float] | None = None,
    builds: int = BUILDS,
    seed: int = SEED,
) -> RestingBands:
    """The band of every net over `builds` builds (2 to 20,000), without a meter's load.

    Every build is drawn whole: one supply, one regulator, one set of parts for all its nets. `measured` puts
    supplies and regulator outputs at a voltage that was read. Raises NotCertified when the circuit as written
    has no certified rest point, TooFewBuilds when more than a tenth of the builds has none, ValueError for
    a number of builds or a measured net that cannot be.
    """
    given = checked(analysis, measured or {})
    here = at_measured(analysis, given)
    people = build_many(here, given, builds=builds, seed=seed)
    return bands_of(here, people, people.x, seed, given)


def build_many(analysis: Analysis, measured: Mapping[str, float], *, builds: int, seed: int) -> Population:
    """The builds themselves; see `resting_bands`. `analysis` stands at its measured supplies."""
    if not 2 <= builds <= MOST_BUILDS:
        raise ValueError(f"from 2 to {MOST_BUILDS} builds can be made, not {builds}.")
    rest = analysis.rest.checked()
    people = solve(analysis.system, drawn(analysis, Draws(seed, builds), measured), rest.x, BRIEF)
    if not people.ok[0] or people.ok.mean() < ENOUGH:
        raise TooFewBuilds(f"only {int(people.ok.sum())} of {builds} builds have a certified rest point")
    return people


def bands_of(
    analysis: Analysis, people: Population, x: FloatArray, seed: int, measured: Mapping[str, float]
) -> RestingBands:
    """The bands of voltages `x` (builds, size + 1) of a population."""
    nets = tuple(net for net in analysis.circuit.nets if net in analysis.system.rows)
    rows = [analysis.system.row(net) for net in nets]
    return RestingBands(
        nets=nets,
        volts=x[people.ok][:, rows],
        asked=people.versions.count,
        seed=seed,
        measured=dict(measured),
    )
