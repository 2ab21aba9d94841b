"""The gulp at switch-on: the circuit at the instant at which every capacitor is empty.

A capacitor of 1 uF or more is then its series resistance and nothing else (stated in the text, else typical
of its size), a smaller one is left out: it is full before the current has risen. The supply is taken with
what an adaptor and its lead, or a battery, put in the way.
"""

from collections.abc import Iterable

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.power.ranges import main_supply
from pedalwright.analysis.power.ratings import figure_of, has_plus_end
from pedalwright.analysis.power.records import Inrush
from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.ports import Supply
from pedalwright.circuit.primitives import Capacitance, Primitive, Resistance, VoltageSource
from pedalwright.devices.kinds.capacitor import typical_series_ohms
from pedalwright.devices.ports import BATTERY_OHMS, supply_name
from pedalwright.solve.rest import operating_point
from pedalwright.solve.system import compile_system

WALL_OHMS = 0.5
"""an adaptor with its lead and plug (assumption)"""
LARGE_F = 1e-6
FILM_OHMS = 0.02
"""series resistance of a large film or ceramic capacitor (from memory)"""
STATED_OHMS = 1e-3
"""what is left beside a series resistance that the text states"""


def inrush(analysis: Analysis) -> Inrush | None:
    """The gulp from the largest supply; None without one or without a certified rest point."""
    supply = main_supply(analysis)
    if supply is None or not analysis.rest.certificate.ok:
        return None
    rest = operating_point(compile_system(tuple(_at_switch_on(analysis))))
    ok = rest.certificate.ok
    return Inrush(
        net=supply.net,
        peak_a=abs(rest.amperes(supply_name(supply))) if ok else float("nan"),
        charge_c=_charge_c(analysis),
        series_ohms=_in_the_way(supply),
        through=tuple(_surges(analysis)),
        certified=ok,
    )


def _in_the_way(supply: Supply) -> float:
    return BATTERY_OHMS if supply.source == "battery" else WALL_OHMS


def _at_switch_on(analysis: Analysis) -> Iterable[Primitive]:
    walls = {supply_name(one): one for one in analysis.circuit.supplies if one.source != "battery"}
    for one in analysis.primitives:
        if isinstance(one, VoltageSource) and one.name in walls:
            yield from _behind_resistance(one)
        elif isinstance(one, Capacitance):
            yield from _empty(analysis, one)
        else:
            yield one


def _behind_resistance(one: VoltageSource) -> Iterable[Primitive]:
    inner = f"{one.plus}/adaptor"
    yield VoltageSource(owner=one.owner, name=one.name, plus=inner, minus=one.minus, dc_v=one.dc_v)
    yield Resistance(owner=one.owner, name=f"{one.name}/lead", a=inner, b=one.plus, ohms=WALL_OHMS)


def _empty(analysis: Analysis, one: Capacitance) -> Iterable[Primitive]:
    part = analysis.circuit.by_ref.get(one.owner)
    if part is None or part.kind != "capacitor" or one.farads < LARGE_F:
        return
    if part.option("esr"):
        ohms = STATED_OHMS
    else:
        ohms = typical_series_ohms(one.farads) if has_plus_end(part) else FILM_OHMS
    yield Resistance(owner=one.owner, name=one.name, a=one.a, b=one.b, ohms=ohms)


def _charge_c(analysis: Analysis) -> float:
    """What the capacitors between rails and ground hold once they are full."""
    rails = analysis.bench.classes.rails | {GROUND}
    total = 0.0
    for part in analysis.view.parts_of("capacitor"):
        nets = [analysis.view.joined[net] for net in part.nets]
        if set(nets) <= rails and nets[0] != nets[1]:
            total += (part.value or 0.0) * abs(analysis.rest.volts(nets[0]) - analysis.rest.volts(nets[1]))
    return total


def _surges(analysis: Analysis) -> Iterable[tuple[str, float, str]]:
    """Diodes that feed a rail, with the surge they stand."""
    for ref in dict.fromkeys(ref for ref, _, _ in analysis.bench.classes.feeds):
        rating = (
            figure_of(analysis.circuit.by_ref[ref], "surge_a") if ref in analysis.circuit.by_ref else None
        )
        if rating is not None:
            yield ref, rating.value, rating.source
