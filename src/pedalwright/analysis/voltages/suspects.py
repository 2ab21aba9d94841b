"""What a wrong reading would mean: every single fault solved once, and for each net the few that move it
most.

All faults are versions of one circuit and are solved in one go. A fault that asks more of the supply than it
can give (a short across it) is left out: then nothing works, and every reading falls with the supply. A
regulator that is asked for too much is taken as shut down.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.voltages.fault_list import SHORT_S, Fault, single_faults
from pedalwright.analysis.voltages.meter import read_by_meter
from pedalwright.analysis.voltages.population import BRIEF, Population, Versions, solve
from pedalwright.analysis.voltages.records import METER_SHARE, METER_V, FaultReadings, Suspect
from pedalwright.circuit.circuit import Circuit
from pedalwright.circuit.primitives import RegulatedOutput, VoltageSource
from pedalwright.devices.ports import supply_name
from pedalwright.solve.arrays import BoolArray

MOST_SUPPLY_A, MOST_REGULATOR_A = 0.5, 0.3
"""above this a supply gives way, and a small regulator shuts down (house figures)"""
MOST_READINGS, MOST_FAULTS = 3, 3
ALIKE_V, ALIKE_SHARE = 0.1, 0.03
"""readings that differ by less are told as one"""


def fault_readings(analysis: Analysis, start: Versions, meter_ohms: float) -> FaultReadings:
    """Every single fault with the knobs as they stand; `start` holds one version, the healthy circuit."""
    faults = single_faults(analysis)
    nets = tuple(net for net in analysis.circuit.nets if net in analysis.system.rows)
    if not faults:
        return FaultReadings(faults=(), parts=(), nets=nets, volts=np.zeros((0, len(nets))))
    people = solve(analysis.system, _versions(analysis, faults, start), analysis.rest.x, BRIEF)
    eased = [_shut_down(analysis, people, place, fault) for place, fault in enumerate(faults)]
    if any(new is not old for new, old in zip(eased, faults, strict=True)):
        people = solve(analysis.system, _versions(analysis, eased, start), analysis.rest.x, BRIEF)
    read = read_by_meter(people, meter_ohms, everywhere=True).x
    rows = [analysis.system.row(net) for net in nets]
    usable = people.ok & ~_overloaded(analysis, people)
    return FaultReadings(
        faults=tuple(fault.words for fault in faults),
        parts=tuple(fault.part for fault in faults),
        nets=nets,
        volts=np.where(usable[:, None], read[:, rows], np.nan),
    )


def _versions(analysis: Analysis, faults: Sequence[Fault], start: Versions) -> Versions:
    count, system = len(faults), analysis.system
    changes = {name: np.repeat(array, count) for name, array in start.changes.items()}
    for name in dict.fromkeys(name for fault in faults for name in fault.values):
        usual = changes.get(name, np.full(count, _usual(analysis, name))).copy()
        for place, fault in enumerate(faults):
            usual[place] = fault.values.get(name, usual[place])
        changes[name] = usual
    bias = np.zeros((count, system.size))
    for place, fault in enumerate(faults):
        for name, volts in fault.pushed.items():
            bias[place, system.branches[name]] = volts
    across = tuple(
        (place, _row(analysis, a), _row(analysis, b), SHORT_S)
        for place, fault in enumerate(faults)
        for a, b in fault.joined
    )
    return Versions(count=count, changes=changes, bias=bias, across=across)


def _row(analysis: Analysis, net: str) -> int:
    row = analysis.system.row(net)
    return -1 if row == analysis.system.size else row


def _usual(analysis: Analysis, name: str) -> float:
    if name in analysis.system.names:
        return float(analysis.system.values[analysis.system.element(name)])
    for bank in analysis.system.banks:
        for key, values in bank.parameters.items():
            for place, part in enumerate(bank.names):
                if f"{part}.{key}" == name:
                    return float(values[place])
    raise KeyError(name)


def _shut_down(analysis: Analysis, people: Population, place: int, fault: Fault) -> Fault:
    """The fault with every regulator that is asked for too much giving nothing."""
    off = {}
    for one in analysis.primitives:
        branch = analysis.system.branches.get(one.name)
        if isinstance(one, RegulatedOutput) and branch is not None:
            taken_a = people.x[place, branch]
            if not abs(taken_a) <= MOST_REGULATOR_A and one.name not in fault.part:
                off[f"{one.name}.volts"] = 0.0
    return replace(fault, values={**fault.values, **off}) if off else fault


def _overloaded(analysis: Analysis, people: Population) -> BoolArray:
    supplies = {supply_name(one) for one in analysis.circuit.supplies}
    rows = [
        analysis.system.branches[one.name]
        for one in analysis.primitives
        if isinstance(one, VoltageSource) and one.name in supplies and one.name in analysis.system.branches
    ]
    return np.asarray((np.abs(people.x[:, rows]) > MOST_SUPPLY_A).any(axis=1))


def near_parts(circuit: Circuit, joined: Mapping[str, str], net: str) -> frozenset[str]:
    """The parts on a net, closed contacts taken as wire (`joined`); the empty name for the supply where one
    feeds the net.
    """
    whole = [one for one, other in joined.items() if other == joined.get(net)]
    fed = [""] if any(supply.net in whole for supply in circuit.supplies) else []
    return frozenset([*fed, *(pin.part.ref for one in whole for pin in circuit.pins_on.get(one, ()))])


def suspects(
    analysis: Analysis, readings: FaultReadings, bands: Mapping[str, tuple[float, float, float]]
) -> Mapping[str, tuple[Suspect, ...]]:
    """By net: the readings single faults give that lie well outside its band (low, typical, high), at most
    three of them: those of parts on the net first, then the ones furthest off.
    """
    found = {}
    for column, net in enumerate(readings.nets):
        if net in bands:
            near = near_parts(analysis.circuit, analysis.view.joined, net)
            found[net] = tuple(_grouped(readings, column, bands[net], near))
    return found


def _grouped(
    readings: FaultReadings, column: int, band: tuple[float, float, float], near: frozenset[str]
) -> Iterable[Suspect]:
    """The readings, rising. A fault from elsewhere is told only where nothing on the net gives that reading,
    and not when it takes the supply away: then everything reads nothing.
    """
    low, typical, high = band
    seen: list[tuple[float, list[int]]] = []
    for place in _in_order(readings, column, typical, near):
        volts = float(readings.volts[place, column])
        margin = METER_V + METER_SHARE * abs(volts)
        if not np.isfinite(volts) or low - margin <= volts <= high + margin:
            continue
        here = readings.parts[place] in near
        group = next((one for one in seen if _alike(one[0], volts)), None)
        if group is None:
            if len(seen) < MOST_READINGS and (here or abs(volts) > ALIKE_V):
                seen.append((volts, [place]))
        elif here or readings.parts[group[1][0]] not in near:
            _joined(readings, group[1], place)
    for volts, places in sorted(seen, key=lambda one: one[0]):
        yield Suspect(
            volts=volts,
            faults=tuple(readings.faults[place] for place in places),
            parts=tuple(readings.parts[place] for place in places),
        )


def _joined(readings: FaultReadings, group: list[int], place: int) -> None:
    """Adds a fault of another part, while there is room."""
    if len(group) < MOST_FAULTS and readings.parts[place] not in {readings.parts[one] for one in group}:
        group.append(place)


def _alike(a: float, b: float) -> bool:
    return abs(a - b) <= ALIKE_V + ALIKE_SHARE * max(abs(a), abs(b))


def _in_order(readings: FaultReadings, column: int, typical: float, near: frozenset[str]) -> list[int]:
    """Faults of parts on the net first, each lot by how far it moves the net; nan last."""
    moved = np.abs(readings.volts[:, column] - typical)
    far = [round(float(one), 2) if np.isfinite(one) else -1.0 for one in moved]
    return sorted(range(len(far)), key=lambda one: (readings.parts[one] not in near, -far[one]))
