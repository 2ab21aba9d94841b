"""What a wrong supply does: reversed, 12 V, 18 V, 9 V AC, a regulator put in backwards; solved on the circuit
itself at rest.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import sqrt

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.power.bench import CHIP_PINS
from pedalwright.analysis.power.protection import protections
from pedalwright.analysis.power.ranges import main_supply
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One case: its trials are solved together with those of all other cases."""

    name: str
    says: str
    trials: tuple[Trial, ...]
    from_nothing: bool
    """whether the strain grows from an unfed circuit, not from the healthy one"""


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
    if supply is None or not analysis.rest.certificate.ok:
        return ()
    asked = tuple(_asked(analysis, supply))
    tried = try_all(analysis, [Trial(), *(trial for one in asked for trial in one.trials)])
    table = measures(analysis, tried)
    found, place = [], 1
    for one in asked:
        places = list(range(place, place + len(one.trials)))
        found.append(_case(analysis, supply, one, tried, table, places))
        place += len(one.trials)
    return tuple(found)


def _asked(analysis: Analysis, supply: Supply) -> Iterable[Asked]:
    sign = 1.0 if supply.volts > 0 else -1.0
    size = abs(supply.volts)

    def at(volts: float) -> Trial:
        return Trial(volts={supply.net: sign * volts})

    yield Asked(
        name="reversed",
        says=f"{size:g} V the wrong way round",
        trials=(at(-size),),
        from_nothing=True,
    )
    for volts in HIGHER_V:
        if volts > size * 1.001:
            says = f"{volts:g} V instead of {size:g} V"
            yield Asked(name=f"{volts:g} V", says=says, trials=(at(volts),), from_nothing=False)
    peak = AC_RMS_V * sqrt(2.0)
    if size <= peak:
        says = f"{AC_RMS_V:g} V AC: peaks of {peak:.1f} V both ways"
        yield Asked(name=f"{AC_RMS_V:g} V AC", says=says, trials=(at(peak), at(-peak)), from_nothing=True)
    for part in analysis.view.parts_of("regulator"):
        says = f"the regulator {part.ref} put in backwards, input and output exchanged"
        yield Asked(
            name=f"{part.ref} turned", says=says, trials=(Trial(turned=part.ref),), from_nothing=False
        )


def _case(
    analysis: Analysis,
    supply: Supply,
    asked: Asked,
    tried: Tried,
    table: Sequence[Measure],
    places: list[int],
) -> AbuseCase:
    volts = tuple(trial.volts.get(supply.net, supply.volts) for trial in asked.trials)
    case = AbuseCase(
        name=asked.name, says=asked.says, net=supply.net, volts=volts, certified=bool(tried.ok[places].all())
    )
    if not case.certified:
        return case
    found = [_strain(analysis, one, asked, places, volts, supply.volts) for one in table]
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


def _strain(
    analysis: Analysis,
    measure: Measure,
    asked: Asked,
    places: list[int],
    volts: Sequence[float],
    nominal_v: float,
) -> Strain | None:
    """The measure as a strain when a trial of the case exceeds it, and more than the healthy circuit does."""
    factors = measure.factors[places]
    worst = int(np.argmax(factors))
    factor, before = float(factors[worst]), float(measure.factors[0])
    if not factor > TOLD or factor <= before:
        return None
    return Strain(
        ref=measure.part.ref,
        says=part_says(analysis, measure.part.ref),
        rating=measure.rating,
        unit=measure.unit,
        value=float(measure.values[places[worst]]),
        limit=measure.limit,
        factor=factor,
        source=measure.source,
        at_v=_reached_v(measure, asked, factor, before, volts[worst], nominal_v),
        blows=measure.blows,
    )


def _reached_v(
    measure: Measure, asked: Asked, factor: float, before: float, volts: float, nominal_v: float
) -> float | None:
    """The supply voltage at which the rating is reached, on a straight line; heat goes by its root."""
    start_v, start = (0.0, 0.0) if asked.from_nothing else (nominal_v, before)
    if volts == start_v or start >= 1.0:
        return None
    if measure.unit == "W":
        factor, start = sqrt(factor), sqrt(max(start, 0.0))
    return start_v + (volts - start_v) * (1.0 - start) / (factor - start)
