"""Other types of the catalogue in the place of those the text names, each solved in the whole circuit."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from pedalwright.analysis.levels import REFERENCE_HZ
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.naming_nets import spoken
from pedalwright.circuit.part import Part
from pedalwright.devices.catalogue import device
from pedalwright.devices.device import Figure
from pedalwright.devices.kinds.regulator import set_volts
from pedalwright.devices.ports import INPUT, supply_name
from pedalwright.report.figures import decibels, figure

NOTICED_DB, NOTICED_V, NOTICED_SHARE = 0.1, 0.05, 0.1
"""smaller changes of gain, of a resting voltage and of the current are not told (house rule)"""
MUCH_DB, MUCH_SHARE = 1.0, 0.05
"""a gain, and of the supply a resting voltage, that moves by more makes it another pedal (house rule)"""
MOST_TYPES = 12
BY_TYPE = ("zener-diode", "led", "echo-chip")
"""kinds whose types are different things and not each other's substitutes"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Substitute:
    """One other type for all parts of a kind and type: what moves, and whether little enough."""

    refs: tuple[str, ...]
    now: str
    other: str
    says: str
    is_alike: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class _Reading:
    """What is compared: gain at the reference, resting voltages of the stages' outputs, supply current."""

    gain_db: float | None
    volts: Mapping[str, float]
    amps: float


def substitutes(analysis: Analysis) -> tuple[Substitute, ...]:
    """Every other type of the same kind, tried in all places of the one named; none where the circuit itself
    is not certified.
    """
    now = _read(analysis, analysis)
    if now is None:
        return ()
    return tuple(
        _tried(analysis, now, parts, other)
        for parts in _alike(analysis)
        for other in _others(analysis, parts)
    )


def _alike(analysis: Analysis) -> Iterable[list[Part]]:
    """Parts with types, those of one kind and type together, in the order of the text."""
    found: dict[tuple[str, str], list[Part]] = {}
    for part in analysis.circuit.parts:
        if len(device(part.kind).types) > 1 and part.kind not in BY_TYPE:
            found.setdefault((part.kind, part.type), []).append(part)
    return found.values()


def _others(analysis: Analysis, parts: Sequence[Part]) -> list[str]:
    entry, first = device(parts[0].kind), parts[0]
    own = first.type or entry.default_type
    fits = [name for name in entry.types if name != own and _stands(analysis, parts, entry.types[name])]
    if entry.family == "regulator":
        fits = [
            name
            for name in fits
            if abs(entry.types[name]["volts"].value - set_volts(first)) < 1e-3 and first.type != "LM317"
        ]
    return fits[:MOST_TYPES]


def _stands(analysis: Analysis, parts: Sequence[Part], figures: Mapping[str, Figure]) -> bool:
    """Whether a type is made for the voltages it would meet."""
    supply = max((one.high_v for one in analysis.circuit.supplies), default=0.0)
    most = [figures[name].value for name in _MOST if name in figures]
    least = figures.get("least_supply_v")
    lowest = min((one.low_v for one in analysis.circuit.supplies), default=0.0)
    return all(value >= supply for value in most) and (least is None or lowest >= least.value)


_MOST = ("most_supply_v", "most_collector_v", "most_drain_v", "most_reverse_v", "most_input_v")


def _tried(analysis: Analysis, now: _Reading, parts: Sequence[Part], other: str) -> Substitute:
    changed = {part.ref: replace(part, type=other) for part in parts}
    found = _read(Analysis(analysis.circuit.with_parts(changed)), analysis)
    own = parts[0].type or device(parts[0].kind).default_type
    refs = tuple(part.ref for part in parts)
    if found is None:
        said = "could not be computed with it: stay with the type named"
        return Substitute(refs=refs, now=own, other=other, says=said, is_alike=False)
    supply = max((one.volts for one in analysis.circuit.supplies), default=0.0)
    moves = _moved(now, found)
    most = max((abs(volts) for volts in moves.values()), default=0.0)
    return Substitute(
        refs=refs,
        now=own,
        other=other,
        says="; ".join(_said(now, found, moves)) or "nothing compared moves",
        is_alike=_gain_moves(now, found) <= MUCH_DB and most <= max(MUCH_SHARE * supply, NOTICED_V),
    )


def _gain_moves(now: _Reading, found: _Reading) -> float:
    if now.gain_db is None or found.gain_db is None:
        return 0.0 if now.gain_db is found.gain_db else float("inf")
    return abs(found.gain_db - now.gain_db)


def _moved(now: _Reading, found: _Reading) -> dict[str, float]:
    return {net: found.volts[net] - volts for net, volts in now.volts.items() if net in found.volts}


def _said(now: _Reading, found: _Reading, moves: Mapping[str, float]) -> Iterable[str]:
    if now.gain_db is not None and found.gain_db is not None:
        change = found.gain_db - now.gain_db
        if abs(change) >= NOTICED_DB:
            yield f"gain {decibels(change)}"
    net = max(moves, key=lambda one: abs(moves[one]), default="")
    if net and abs(moves[net]) >= NOTICED_V:
        yield f"{spoken(net)} rests at {found.volts[net]:.2f} V instead of {now.volts[net]:.2f} V"
    if now.amps > 0 and abs(found.amps / now.amps - 1) >= NOTICED_SHARE:
        yield f"current {figure(found.amps, 'A')} instead of {figure(now.amps, 'A')}"


def _read(analysis: Analysis, original: Analysis) -> _Reading | None:
    """The figures of a circuit whose stages are those of the original; None where it is not certified."""
    small, rest = analysis.small, analysis.rest
    if small is None or not rest.certificate.ok or not rest.stays:
        return None
    nets = dict.fromkeys(stage.output for stage in original.stages.stages if stage.output)
    amps = sum(abs(rest.amperes(supply_name(one))) for one in original.circuit.supplies)
    return _Reading(
        gain_db=_gain_db(analysis),
        volts={net: rest.volts(net) for net in nets if net in analysis.system.rows},
        amps=amps,
    )


def _gain_db(analysis: Analysis) -> float | None:
    source, output, small = analysis.circuit.input, analysis.circuit.output, analysis.small
    if source is None or output is None or small is None:
        return None
    matrix = small.g + 2j * np.pi * REFERENCE_HZ * small.c
    drive = np.zeros(small.size, dtype=complex)
    drive[small.system.branches[INPUT]] = 1.0
    try:
        found = np.append(np.linalg.solve(matrix, drive), 0.0)
    except np.linalg.LinAlgError:
        return None
    jack, out = abs(found[small.row(source.net)]), abs(found[small.row(output.net)])
    return float(20 * np.log10(out / jack)) if jack > 0 and out > 0 else None
