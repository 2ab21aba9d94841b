"""The circuit at rest under many trials at once.

Two things are added to what the walk-through solves. What an operational amplifier's output gives comes out
of its positive supply pin, and what it takes goes into the negative one; and every chip has a diode from its
most negative pin to its supply pin (the substrate), silent until the supply is reversed.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.power.trials import LEAST, MOST, TYPICAL, Trial, Tried
from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import CurrentSource, Junction, Primitive, Resistance, SupplyDraw
from pedalwright.devices.catalogue import amplifiers, device
from pedalwright.devices.ports import supply_name
from pedalwright.solve.arrays import BoolArray, FloatArray, IndexArray
from pedalwright.solve.equations import equations
from pedalwright.solve.ladder import Settings
from pedalwright.solve.rest import OperatingPoint, OperatingPoints, operating_points
from pedalwright.solve.system import System, compile_system

LEAST_SHARE = 0.5
"""what a frugal chip draws of the typical current: no sheet states a minimum (house choice)"""
MOST_SHARE = 1.5
"""what a thirsty chip draws of the typical current where no sheet states a maximum (house choice)"""
SUBSTRATE_A, SUBSTRATE_OHMS = 1e-15, 10.0
"""the diode in every chip between its supply pins, backwards, and what lies in series with it (house choice:
no sheet prints either)"""
PASSES_V, TURNED_SET_V = 0.7, 1000.0
"""a regulator put in backwards passes all but a diode's drop (common practice, no source)"""
TERMINAL_OHMS = 1e-3
"""of a battery whose terminal voltage is what is told"""
CHIP_PINS = {"echo-chip": ("1", "3"), "opamp": ("v+", "v-"), "regulator": ("in", "gnd")}
"""family -> supply pin, most negative pin"""
IMPATIENT = Settings(steps_straight=6, steps_each=24)
"""for reversed circuits, whose amplifiers have no gain to find the first ways with"""
FAINT_A = 1e-6
"""amplifiers that give less than this need no second solution (house rule)"""


@dataclass(frozen=True, kw_only=True, eq=False)
class PowerBench:
    """The circuit with its power paths complete, ready for trials."""

    analysis: Analysis
    system: System
    nominal: OperatingPoint
    parts: Mapping[str, str]
    """owner of a primitive -> designator, for the sections of packages"""
    outputs: tuple[str, ...]
    """amplifiers whose output current is charged to their supply pins"""
    draws: Mapping[str, tuple[float, float, float]]
    """supply draw -> its current at least, typically, at most [A]"""


def power_bench(analysis: Analysis) -> PowerBench:
    """The bench of an analysis, made once."""
    kept = analysis.kept
    if "power bench" not in kept:
        kept["power bench"] = _power_bench(analysis)
    found = kept["power bench"]
    assert isinstance(found, PowerBench)
    return found


def _power_bench(analysis: Analysis) -> PowerBench:
    circuit = analysis.circuit
    units = [unit for unit in amplifiers(circuit) if device(unit.part.kind).family == "opamp"]
    there = {one.name for one in analysis.primitives}
    added = [
        *(one for unit in units if unit.ref in there for one in _output_paths(unit.ref, unit.part)),
        *(one for part in circuit.parts for one in _substrate(part)),
    ]
    system = compile_system((*analysis.primitives, *added))
    return PowerBench(
        analysis=analysis,
        system=system,
        nominal=_carried(analysis.rest, system),
        parts={unit.ref: unit.part.ref for unit in units},
        outputs=tuple(unit.ref for unit in units if unit.ref in there),
        draws=_draws(analysis),
    )


def _output_paths(ref: str, part: Part) -> Iterable[Primitive]:
    """Sources of no current yet: from the positive supply pin, and into the negative one."""
    high, low = part.net("v+"), part.net("v-")
    yield CurrentSource(owner=part.ref, name=f"{ref}/gives", a=high, b=GROUND, dc_a=0.0)
    yield CurrentSource(owner=part.ref, name=f"{ref}/takes", a=GROUND, b=low, dc_a=0.0)


def _substrate(part: Part) -> Iterable[Primitive]:
    pins = CHIP_PINS.get(device(part.kind).family)
    if pins is None:
        return
    high, low = (part.net(pin) for pin in pins)
    inner, name = f"{part.ref}/substrate", f"{part.ref}/substrate"
    yield Junction(
        owner=part.ref, name=name, anode=low, cathode=inner, saturation_a=SUBSTRATE_A, emission=1.0
    )
    yield Resistance(owner=part.ref, name=f"{name}-ohms", a=inner, b=high, ohms=SUBSTRATE_OHMS)


def _carried(rest: OperatingPoint, system: System) -> OperatingPoint:
    """A rest point of the plain circuit as the place to start from in the completed one."""
    x = np.zeros(system.size + 1)
    for name, row in rest.system.rows.items():
        x[system.rows[name]] = rest.x[row]
    for name, row in rest.system.branches.items():
        x[system.branches[name]] = rest.x[row]
    return replace(rest, system=system, x=x)


def _draws(analysis: Analysis) -> Mapping[str, tuple[float, float, float]]:
    found = {}
    for one in analysis.primitives:
        part = analysis.circuit.by_ref.get(one.owner)
        if isinstance(one, SupplyDraw) and part is not None:
            typical, most = _typical_and_most(part)
            found[one.name] = (
                max(one.dc_a - (1.0 - LEAST_SHARE) * typical, 0.0), one.dc_a, one.dc_a + most - typical
            )  # fmt: skip
    return found


def _typical_and_most(part: Part) -> tuple[float, float]:
    """A chip's own supply current, all sections together [A]."""
    entry = device(part.kind)
    known = entry.figures_for(part)
    sections = max(len(entry.sections), 1)
    for typical, most in (("supply_a", "most_supply_a"), ("quiescent_a", "most_quiescent_a")):
        if typical in known:
            usual = known[typical].value
            top = known[most].value if most in known else MOST_SHARE * usual
            return usual * sections, top * sections
    return 0.0, 0.0


def try_all(analysis: Analysis, trials: Sequence[Trial]) -> Tried:
    """Every trial solved, in one batch; which of them are certified it says itself.

    Amplifiers on a reversed supply have their outputs' currents left uncharged: they are no amplifiers there.
    """
    bench = power_bench(analysis)
    changes = _changes(bench, trials)
    tried = _tried(bench, changes, _points(bench, changes))
    works = tried.ok & ~_reversed(bench, changes)
    given = {ref: np.where(works, tried.named(ref), 0.0) for ref in bench.outputs}
    again = np.flatnonzero([max((abs(a[place]) for a in given.values()), default=0.0) > FAINT_A
                            for place in range(len(trials))])  # fmt: skip
    if not len(again):
        return tried
    for ref, amps in given.items():
        changes[f"{ref}/gives"], changes[f"{ref}/takes"] = np.maximum(amps, 0.0), np.maximum(-amps, 0.0)
    left = np.setdiff1d(np.arange(len(trials)), again)
    second = operating_points(bench.system, _some(changes, again), nominal=bench.nominal)
    points = _merged([(left, _picked(tried.points, left)), (again, second)])
    return _tried(bench, changes, points)


def _changes(bench: PowerBench, trials: Sequence[Trial]) -> dict[str, FloatArray]:
    changes: dict[str, FloatArray] = {}
    for supply in bench.analysis.circuit.supplies:
        volts = [trial.volts.get(supply.net, supply.volts) for trial in trials]
        changes[supply_name(supply)] = np.array(volts, dtype=float)
        if supply.source == "battery":
            name = f"{supply_name(supply)}/internal"
            inside = bench.system.values[bench.system.element(name)]
            changes[name] = np.array([TERMINAL_OHMS if one.at_terminals else inside for one in trials])
    place = {LEAST: 0, TYPICAL: 1, MOST: 2}
    for name, amps in bench.draws.items():
        changes[f"{name}.dc_a"] = np.array([amps[place[trial.draw]] for trial in trials])
    for ref in dict.fromkeys(trial.turned for trial in trials if trial.turned):
        bank = next(
            bank for bank in bench.system.banks if ref in bank.names and "dropout_v" in bank.parameters
        )
        at = bank.names.index(ref)
        for key, turned in (("volts", TURNED_SET_V), ("dropout_v", PASSES_V)):
            plain = float(bank.parameters[key][at])
            changes[f"{ref}.{key}"] = np.array([turned if one.turned == ref else plain for one in trials])
    return changes


def _tried(bench: PowerBench, changes: Mapping[str, FloatArray], points: OperatingPoints) -> Tried:
    batch = equations(bench.system, changes, bench.nominal.temperature_k)
    linear = {name: array for name, array in changes.items() if name in bench.system.names}
    return Tried(
        parts=bench.parts,
        system=bench.system,
        points=points,
        parameters=batch.parameters,
        values=bench.system.changed(linear),
    )


def _points(bench: PowerBench, changes: Mapping[str, FloatArray]) -> OperatingPoints:
    """The rest points: from the healthy one, but from nothing where a supply is reversed, for a reversed
    circuit is nearly dead.
    """
    reversed_ = _reversed(bench, changes)
    if not reversed_.any():
        return operating_points(bench.system, changes, nominal=bench.nominal)
    dead = replace(bench.nominal, x=np.zeros_like(bench.nominal.x))
    groups = [
        (np.flatnonzero(~reversed_), bench.nominal, Settings()),
        (np.flatnonzero(reversed_), dead, IMPATIENT),
    ]
    solved = [
        (places, operating_points(bench.system, _some(changes, places), nominal=start, settings=settings))
        for places, start, settings in groups
        if len(places)
    ]
    return _merged(solved)


def _reversed(bench: PowerBench, changes: Mapping[str, FloatArray]) -> BoolArray:
    """Which trials turn a supply round."""
    found = [changes[supply_name(one)] * one.volts < 0.0 for one in bench.analysis.circuit.supplies]
    return np.logical_or.reduce(found) if found else np.zeros(1, dtype=bool)


def _some(changes: Mapping[str, FloatArray], places: IndexArray) -> dict[str, FloatArray]:
    return {name: array[places] for name, array in changes.items()}


def _picked(points: OperatingPoints, places: IndexArray) -> OperatingPoints:
    return replace(
        points,
        x=points.x[places],
        residual_a=points.residual_a[places],
        correction=points.correction[places],
        methods=tuple(points.methods[place] for place in places),
    )


def _merged(solved: Sequence[tuple[IndexArray, OperatingPoints]]) -> OperatingPoints:
    """Several batches as one, each variant at its place."""
    order = np.argsort(np.concatenate([places for places, _ in solved]), kind="stable")
    methods = [method for _, points in solved for method in points.methods]
    return replace(
        solved[0][1],
        x=np.concatenate([points.x for _, points in solved])[order],
        residual_a=np.concatenate([points.residual_a for _, points in solved])[order],
        correction=np.concatenate([points.correction for _, points in solved])[order],
        methods=tuple(methods[place] for place in order),
        iterations=sum(points.iterations for _, points in solved),
    )
