"""The circuit at rest under many trials at once."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.power.bench import PowerBench, power_bench
from pedalwright.analysis.power.trials import LEAST, MOST, TYPICAL, Trial, Tried
from pedalwright.devices.ports import supply_name
from pedalwright.solve.arrays import BoolArray, FloatArray, IndexArray
from pedalwright.solve.equations import equations
from pedalwright.solve.ladder import Settings
from pedalwright.solve.rest import OperatingPoints, operating_points

PASSES_V, TURNED_SET_V = 0.7, 1000.0
"""a regulator put in backwards passes all but a diode's drop (common practice, no source)"""
TERMINAL_OHMS = 1e-3
"""of a battery whose terminal voltage is what is told"""
PUSH_SHARE = 2.0
"""of the largest supply: enough to hold any amplifier at its end"""
IMPATIENT = Settings(steps_straight=6, steps_each=24)
"""for circuits far from the healthy one, where the first ways lead nowhere"""
FAINT_A = 1e-5
"""amplifiers that give less than this need no second solution (house rule)"""


def try_all(analysis: Analysis, trials: Sequence[Trial]) -> Tried:
    """Every trial solved, in one batch; which of them are certified it says itself.

    Amplifiers on a reversed supply have their outputs' currents left uncharged: they are no amplifiers there.
    """
    bench = power_bench(analysis)
    changes = _changes(bench, trials)
    tried = _tried(bench, changes, _points(bench, changes))
    works = tried.ok & ~_reversed(bench, changes)
    given = np.array([np.where(works, tried.named(ref), 0.0) for ref in bench.outputs])
    needed = (np.abs(given) > FAINT_A).any(axis=0) if len(given) else np.zeros(len(trials), dtype=bool)
    if not needed.any():
        return tried
    for ref, amps in zip(bench.outputs, given * needed, strict=True):
        changes[f"{ref}/gives"], changes[f"{ref}/takes"] = np.maximum(amps, 0.0), np.maximum(-amps, 0.0)
    again = np.flatnonzero(needed)
    return _tried(bench, changes, _points_again(bench, changes, tried.points, again))


def _changes(bench: PowerBench, trials: Sequence[Trial]) -> dict[str, FloatArray]:
    """The values that differ between the trials, by name (trials,)."""
    return {
        **_supply_changes(bench, trials),
        **_draw_changes(bench, trials),
        **_push_changes(bench, trials),
        **_turned_changes(bench, trials),
    }


def _supply_changes(bench: PowerBench, trials: Sequence[Trial]) -> dict[str, FloatArray]:
    changes: dict[str, FloatArray] = {}
    for supply in bench.analysis.circuit.supplies:
        volts = [trial.volts.get(supply.net, supply.volts) for trial in trials]
        changes[supply_name(supply)] = np.array(volts, dtype=float)
        if supply.source == "battery":
            name = f"{supply_name(supply)}/internal"
            inside = bench.system.values[bench.system.element(name)]
            changes[name] = np.array([TERMINAL_OHMS if one.at_terminals else inside for one in trials])
    return changes


def _draw_changes(bench: PowerBench, trials: Sequence[Trial]) -> dict[str, FloatArray]:
    place = {LEAST: 0, TYPICAL: 1, MOST: 2}
    return {
        f"{name}.dc_a": np.array([amps[place[trial.draw]] for trial in trials])
        for name, amps in bench.draws.items()
    }


def _push_changes(bench: PowerBench, trials: Sequence[Trial]) -> dict[str, FloatArray]:
    most = PUSH_SHARE * max((abs(one.volts) for one in bench.analysis.circuit.supplies), default=0.0)
    return {f"{ref}/push": np.array([most * trial.swing for trial in trials]) for ref in bench.flipping}


def _turned_changes(bench: PowerBench, trials: Sequence[Trial]) -> dict[str, FloatArray]:
    """A turned regulator follows its input, a diode's drop below it."""
    changes: dict[str, FloatArray] = {}
    for ref in dict.fromkeys(trial.turned for trial in trials if trial.turned):
        bank = next(one for one in bench.system.banks if ref in one.names and "dropout_v" in one.parameters)
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
    circuit is nearly dead; without patience where the healthy one is far away.
    """
    reversed_, swinging = _reversed(bench, changes), _swinging(bench, changes)
    if not (reversed_ | swinging).any():
        return operating_points(bench.system, changes, nominal=bench.nominal)
    dead = replace(bench.nominal, x=np.zeros_like(bench.nominal.x))
    groups = [
        (np.flatnonzero(~reversed_ & ~swinging), bench.nominal, Settings()),
        (np.flatnonzero(reversed_), dead, IMPATIENT),
        (np.flatnonzero(swinging & ~reversed_), bench.nominal, IMPATIENT),
    ]
    solved = [
        (places, operating_points(bench.system, _some(changes, places), nominal=start, settings=settings))
        for places, start, settings in groups
        if len(places)
    ]
    return _merged(solved)


def _points_again(
    bench: PowerBench, changes: Mapping[str, FloatArray], before: OperatingPoints, again: IndexArray
) -> OperatingPoints:
    """The same with some trials solved anew; each trial far from the healthy circuit from its own point."""
    swinging = _swinging(bench, changes)
    left = np.setdiff1d(np.arange(len(before.x)), again)
    groups = [(again[~swinging[again]], bench.nominal)]
    groups += [
        (np.array([place]), replace(bench.nominal, x=before.x[place])) for place in again[swinging[again]]
    ]
    solved = [
        (places, operating_points(bench.system, _some(changes, places), nominal=start))
        for places, start in groups
        if len(places)
    ]
    return _merged([(left, _picked(before, left)), *solved])


def _swinging(bench: PowerBench, changes: Mapping[str, FloatArray]) -> BoolArray:
    """Which trials hold an oscillator at one end."""
    found = [changes[f"{ref}/push"] != 0.0 for ref in bench.flipping]
    return np.logical_or.reduce(found) if found else np.zeros(_count(changes), dtype=bool)


def _count(changes: Mapping[str, FloatArray]) -> int:
    return max((len(array) for array in changes.values()), default=1)


def _reversed(bench: PowerBench, changes: Mapping[str, FloatArray]) -> BoolArray:
    """Which trials turn a supply round."""
    found = [changes[supply_name(one)] * one.volts < 0.0 for one in bench.analysis.circuit.supplies]
    return np.logical_or.reduce(found) if found else np.zeros(_count(changes), dtype=bool)


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
