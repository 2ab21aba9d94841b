"""What a wrong supply does: reversed, 12 V, 18 V, 9 V AC, a regulator put in backwards; solved on the circuit
itself at rest.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import sqrt

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.power.bench import CHIP_PINS
from pedalwright.analysis.power.protection import protections
from pedalwright.analysis.power.ranges import all_feed, main_supply
from pedalwright.analysis.power.records import AbuseCase, Strain
from pedalwright.analysis.power.straining import Measure, measures
from pedalwright.analysis.power.trials import Trial, Tried
from pedalwright.analysis.power.trying import try_all
from pedalwright.analysis.power.wording import part_says
from pedalwright.circuit.ports import Supply
from pedalwright.devices.catalogue import device
from pedalwright.devices.ports import supply_name

HIGHER_V = (12.0, 18.0)
"""adaptors that fit the same socket and are in every drawer (common practice, no source)"""
AC_RMS_V = 9.0
TOLD = 1.0
"""a factor above this is told"""


REVERSED_SHARES, HIGHER_SHARES = (0.07, 0.15, 0.3, 0.6), (0.5,)
"""shares of the way to a wrong voltage that are solved too where something breaks, to tell what goes first"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """A way the supply's voltage goes, from `start_v`, where the circuit is healthy or unfed, over some
    voltages `between` to the wrong one [V]; or a regulator `turned`, to which nothing leads step by step.
    """

    start_v: float
    end_v: float
    between: tuple[float, ...] = ()
    turned: str = ""

    def trial(self, net: str) -> Trial:
        """What is solved at its end."""
        return Trial(turned=self.turned) if self.turned else Trial(volts={net: self.end_v})


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One case with its ways; the worst end of them counts."""

    name: str
    says: str
    ways: tuple[Way, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Seen:
    """One rating over the ways of a case: its measure, its factor with the healthy supply and at each end,
    and the points (supply voltage, factor) solved on each way.
    """

    measure: Measure
    healthy: float
    ends: tuple[tuple[float, float], ...]
    """(value, factor) at the end of each way"""
    on_the_way: tuple[tuple[tuple[float, float], ...], ...]


def abuse(analysis: Analysis) -> tuple[AbuseCase, ...]:
    """Every case for the largest supply, others as written; empty without a supply or a certified circuit."""
    kept = analysis.kept
    if "power abuse" not in kept:
        kept["power abuse"] = _abuse(analysis)
    found = kept["power abuse"]
    assert isinstance(found, tuple)
    return found


def _abuse(analysis: Analysis) -> tuple[AbuseCase, ...]:
    supply = main_supply(analysis)
    if supply is None or not analysis.rest.certificate.ok or not all_feed(analysis):
        return ()
    asked = tuple(_asked(analysis, supply))
    ways = [way for one in asked for way in one.ways]
    tried = try_all(analysis, [Trial(), *(way.trial(supply.net) for way in ways)])
    table = measures(analysis, tried)
    between = _between(analysis, supply, ways, tried, table)
    found, place = [], 1
    for one in asked:
        places = list(range(place, place + len(one.ways)))
        found.append(_case(analysis, supply, one, tried, _seen(table, between, places), places))
        place += len(one.ways)
    return tuple(found)


def _asked(analysis: Analysis, supply: Supply) -> Iterable[Asked]:
    sign, size = (1.0 if supply.volts > 0 else -1.0), abs(supply.volts)

    def backwards(volts: float) -> Way:
        between = tuple(-sign * volts * share for share in REVERSED_SHARES)
        return Way(start_v=0.0, end_v=-sign * volts, between=between)

    def above(volts: float) -> Way:
        between = tuple(sign * (size + (volts - size) * share) for share in HIGHER_SHARES)
        return Way(start_v=supply.volts, end_v=sign * volts, between=between)

    yield Asked(name="reversed", says=f"{size:g} V the wrong way round", ways=(backwards(size),))
    for volts in HIGHER_V:
        if volts > size * 1.001:
            says = f"{volts:g} V instead of {size:g} V"
            yield Asked(name=f"{volts:g} V", says=says, ways=(above(volts),))
    peak = AC_RMS_V * sqrt(2.0)
    if size <= peak:
        says = f"{AC_RMS_V:g} V AC: peaks of {peak:.1f} V both ways"
        yield Asked(name=f"{AC_RMS_V:g} V AC", says=says, ways=(above(peak), backwards(peak)))
    for part in analysis.view.parts_of("regulator"):
        says = f"the regulator {part.ref} put in backwards, input and output exchanged"
        way = Way(start_v=supply.volts, end_v=supply.volts, turned=part.ref)
        yield Asked(name=f"{part.ref} turned", says=says, ways=(way,))


Between = Mapping[int, tuple[tuple[float, ...], tuple[Measure, ...], int]]
"""place of an end among the trials -> the voltages solved before it, their measures, place of the first"""


def _between(
    analysis: Analysis, supply: Supply, ways: Sequence[Way], tried: Tried, table: Sequence[Measure]
) -> Between:
    """More trials on the ways at whose ends something breaks, in one batch."""
    broken = [
        (place, way)
        for place, way in enumerate(ways, 1)
        if tried.ok[place] and way.between and any(one.factors[place] > TOLD for one in table)
    ]
    volts = [at for _, way in broken for at in way.between]
    if not volts:
        return {}
    more = measures(analysis, try_all(analysis, [Trial(volts={supply.net: at}) for at in volts]))
    found: dict[int, tuple[tuple[float, ...], tuple[Measure, ...], int]] = {}
    first = 0
    for place, way in broken:
        found[place] = (way.between, more, first)
        first += len(way.between)
    return found


def _seen(table: Sequence[Measure], between: Between, places: list[int]) -> tuple[Seen, ...]:
    return tuple(
        Seen(
            measure=one,
            healthy=float(one.factors[0]),
            ends=tuple((float(one.values[place]), float(one.factors[place])) for place in places),
            on_the_way=tuple(_points(number, between.get(place)) for place in places),
        )
        for number, one in enumerate(table)
    )


def _points(
    number: int, solved: tuple[tuple[float, ...], tuple[Measure, ...], int] | None
) -> tuple[tuple[float, float], ...]:
    """The certified points of one rating on a way."""
    if solved is None:
        return ()
    volts, table, first = solved
    factors = table[number].factors[first : first + len(volts)]
    return tuple((at, float(factor)) for at, factor in zip(volts, factors, strict=True) if factor >= 0.0)


def _case(
    analysis: Analysis, supply: Supply, asked: Asked, tried: Tried, seen: Sequence[Seen], places: list[int]
) -> AbuseCase:
    case = AbuseCase(
        name=asked.name,
        says=asked.says,
        net=supply.net,
        volts=tuple(way.end_v for way in asked.ways),
        certified=bool(tried.ok[places].all()),
    )
    if not case.certified:
        return case
    found = [_strain(analysis, one, asked.ways) for one in seen]
    strains = sorted((one for one in found if one is not None), key=_order)
    broken = {strain.ref for strain in strains if not strain.blows}
    return replace(
        case,
        strains=tuple(strains),
        protected_by=protections(analysis, tried, places),
        chips_alive=_chips_alive(analysis, broken),
        supply_a=float(np.abs(tried.named(supply_name(supply))[places]).max()),
    )


def _order(strain: Strain) -> tuple[float, float]:
    return (abs(strain.at_v) if strain.at_v is not None else float("inf"), -strain.factor)


def _chips_alive(analysis: Analysis, broken: set[str]) -> tuple[str, ...]:
    chips = (
        part.ref
        for part in analysis.circuit.parts
        if device(part.kind).family in (*CHIP_PINS, "bipolar", "fet")
    )
    return tuple(ref for ref in chips if ref not in broken)


def _strain(analysis: Analysis, seen: Seen, ways: Sequence[Way]) -> Strain | None:
    """The rating as a strain when a case exceeds it, and by more than the healthy circuit does."""
    worst = max(range(len(ways)), key=lambda way: seen.ends[way][1])
    value, factor = seen.ends[worst]
    if not factor > TOLD or factor <= seen.healthy:
        return None
    one = seen.measure
    return Strain(
        ref=one.part.ref,
        says=part_says(analysis, one.part.ref),
        rating=one.rating,
        unit=one.unit,
        value=value,
        limit=one.limit,
        factor=factor,
        source=one.source,
        at_v=None if ways[worst].turned else _reached_v(seen, ways[worst], worst),
        blows=one.blows,
    )


def _reached_v(seen: Seen, way: Way, place: int) -> float | None:
    """The supply voltage at which the rating is reached, straight between the voltages solved; heat goes by
    its root.
    """
    start = (way.start_v, 0.0 if way.start_v == 0.0 else seen.healthy)
    root = sqrt if seen.measure.unit == "W" else float
    points = [start, *seen.on_the_way[place], (way.end_v, seen.ends[place][1])]
    for (near_v, near), (far_v, far) in pairwise(points):
        if near < 1.0 <= far:
            return near_v + (far_v - near_v) * (1.0 - root(near)) / (root(far) - root(near))
    return None
