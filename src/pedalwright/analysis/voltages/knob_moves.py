"""Which readings go with a knob or a switch, and from what to what."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.settings import HIGHEST, LOWEST, positions
from pedalwright.analysis.voltages.meter import read_by_meter
from pedalwright.analysis.voltages.population import BRIEF, Versions, solve
from pedalwright.analysis.voltages.records import KnobMove
from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Resistance
from pedalwright.devices.catalogue import device
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.rest import operating_point
from pedalwright.solve.system import compile_system

STEPS = 11
WORTH_V, WORTH_SHARE = 0.03, 0.01
"""A knob that moves a reading by less, or by less than this share of it, is not worth a word."""


def knob_moves(analysis: Analysis, start: Versions, meter_ohms: float) -> Mapping[str, tuple[KnobMove, ...]]:
    """By net: the knobs and switches that move its reading, one at a time from where they all stand.

    `start` holds one version, the circuit as written at the supply that counts.
    """
    found: dict[str, list[KnobMove]] = {}
    for net, move in (*_knobs(analysis, start, meter_ohms), *_switches(analysis, meter_ohms)):
        found.setdefault(net, []).append(move)
    return {net: tuple(moves) for net, moves in found.items()}


def _knobs(analysis: Analysis, start: Versions, meter_ohms: float) -> Iterable[tuple[str, KnobMove]]:
    knobs = analysis.circuit.knobs
    if not knobs:
        return
    dial = np.linspace(LOWEST, HIGHEST, STEPS)
    count = 1 + STEPS * len(knobs)
    changes = {name: np.repeat(array, count) for name, array in start.changes.items()}
    for place, knob in enumerate(knobs):
        for name, ohms in _tracks(knob, dial):
            column = np.full(count, analysis.system.values[analysis.system.element(name)])
            column[1 + STEPS * place : 1 + STEPS * (place + 1)] = ohms
            changes[name] = column
    turned = solve(analysis.system, Versions(count=count, changes=changes), analysis.rest.x, BRIEF)
    read = read_by_meter(turned, meter_ohms, everywhere=True).x
    read = np.where(turned.ok[:, None], read, np.nan)
    for place, knob in enumerate(knobs):
        block = read[1 + STEPS * place : 1 + STEPS * (place + 1)]
        for net in _nets(analysis):
            move = _move(knob.ref, block[:, analysis.system.row(net)], ("0", "10"))
            if move is not None:
                yield net, move


def _tracks(knob: Part, dial: FloatArray) -> Iterable[tuple[str, FloatArray]]:
    """The halves of a track all over the dial, by name."""
    seen: dict[str, list[float]] = {}
    for position in dial:
        for one in device(knob.kind).expand(replace(knob, setting=float(position))):
            if isinstance(one, Resistance):
                seen.setdefault(one.name, []).append(one.ohms)
    return ((name, np.array(ohms)) for name, ohms in seen.items())


def _switches(analysis: Analysis, meter_ohms: float) -> Iterable[tuple[str, KnobMove]]:
    for switch in analysis.circuit.switches:
        names = positions(switch)
        read = [_switched(analysis, switch.ref, name, meter_ohms) for name in names]
        for net in _nets(analysis):
            seen = [one.get(net) for one in read]
            if None in seen:
                continue
            move = _move(switch.ref, np.array(seen, dtype=float), names, ends_only=True)
            if move is not None:
                yield net, move


def _switched(analysis: Analysis, ref: str, name: str, meter_ohms: float) -> Mapping[str, float]:
    """What a meter reads on every net with a switch thrown; empty when that is not certified."""
    turned = Analysis(analysis.circuit.with_settings({ref: name}))
    system = compile_system(turned.primitives)
    rest = operating_point(system)
    if not rest.certificate.ok:
        return {}
    alone = solve(system, Versions(count=1), rest.x)
    read = read_by_meter(alone, meter_ohms).x
    held = set(system.rows) - set(system.floating)
    return {net: float(read[0, system.row(net)]) for net in held}


def _nets(analysis: Analysis) -> list[str]:
    floating = set(analysis.rest.floating)
    return [net for net in analysis.circuit.nets if net in analysis.system.rows and net not in floating]


def _move(knob: str, volts: FloatArray, ends: tuple[str, ...], *, ends_only: bool = False) -> KnobMove | None:
    if not np.isfinite(volts).all():
        return None
    low, high = float(volts.min()), float(volts.max())
    if high - low < WORTH_V + WORTH_SHARE * max(abs(low), abs(high)):
        return None
    shown = volts if ends_only else volts[[0, -1]]
    return KnobMove(knob=knob, low_v=low, high_v=high, ends=ends, ends_v=tuple(float(one) for one in shown))
