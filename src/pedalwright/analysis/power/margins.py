"""How far each thing is from failing as the supply sinks: margins over trials, negative when it fails."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from pedalwright.analysis.levels import REFERENCE_HZ, clippers, level_at
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.power.ratings import value_of
from pedalwright.analysis.power.trials import Tried
from pedalwright.analysis.rooms import SATURATION_V
from pedalwright.circuit.primitives import BipolarTransistor, ClippingAmplifier, FieldEffectTransistor
from pedalwright.devices.catalogue import amplifiers
from pedalwright.devices.device import is_unused
from pedalwright.devices.kinds.regulator import set_volts
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.band import Band
from pedalwright.units.values import print_value

HEARD_V = 1e-3
"""an output that moves less than this, for the loudest signal expected, carries none (house rule)"""


CHANNEL_V = 0.1


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Margin:
    """One thing that can fail: `values` (trials,) [V]; `says` tells what happens then."""

    rule: str
    ref: str
    says: str
    values: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Peak:
    """The loudest signal expected at the output of an amplifier or transistor at the full voltage [V]."""

    device: ClippingAmplifier | BipolarTransistor | FieldEffectTransistor
    volts: float


def peaks(analysis: Analysis) -> tuple[Peak, ...]:
    """What amplifiers and transistors must let through, at 1 kHz, for the peak the text expects at the jack.

    Empty without an input, or where the response is not certified.
    """
    if analysis.small is None or analysis.circuit.input is None:
        return ()
    band = Band(analysis.small, np.array([REFERENCE_HZ]))
    if not band.ok:
        return ()
    clipped = clippers(analysis, band)
    found = []
    for one in analysis.primitives:
        if isinstance(one, ClippingAmplifier | BipolarTransistor | FieldEffectTransistor):
            if isinstance(one, FieldEffectTransistor) and _is_resistor(analysis, one):
                continue
            levels = (level_at(analysis, band, net, clipped).level_v for net in _moving(one))
            volts = max((level for level in levels if level is not None), default=0.0)
            if volts > HEARD_V:
                found.append(Peak(device=one, volts=volts))
    return tuple(found)


def _is_resistor(analysis: Analysis, one: FieldEffectTransistor) -> bool:
    """A channel with next to nothing across it at rest: it is there to be a resistance."""
    return abs(analysis.rest.volts(one.drain) - analysis.rest.volts(one.source)) < CHANNEL_V


def _moving(one: ClippingAmplifier | BipolarTransistor | FieldEffectTransistor) -> tuple[str, ...]:
    match one:
        case ClippingAmplifier():
            return (one.output,)
        case BipolarTransistor():
            return one.collector, one.emitter
    return one.drain, one.source


def margins(analysis: Analysis, tried: Tried, loud: tuple[Peak, ...]) -> tuple[Margin, ...]:
    """Every margin there is."""
    return (
        *_regulators(analysis, tried),
        *_chips(analysis, tried),
        *_inputs(analysis, tried),
        *_rooms(tried, loud),
    )


def _regulators(analysis: Analysis, tried: Tried) -> Iterable[Margin]:
    for part in analysis.view.parts_of("regulator"):
        dropout = value_of(part, "dropout_v") or 0.0
        low = part.net("out" if part.type == "LM317" else "gnd")
        needed = dropout if part.type == "LM317" else set_volts(part) + dropout
        if is_unused(part, "gnd"):
            continue
        words = print_value(set_volts(part), "V")
        says = f"{part.ref} no longer holds {words}" if part.type != "LM317" else f"{part.ref} lets go"
        values = tried.volts(part.net("in")) - tried.volts(low) - needed
        yield Margin(rule="regulator headroom", ref=part.ref, says=says, values=values)


def _chips(analysis: Analysis, tried: Tried) -> Iterable[Margin]:
    pins = {"opamp": ("v+", "v-"), "echo-chip": ("1", "3")}
    for part in analysis.view.parts_of(*pins):
        least = value_of(part, "least_supply_v")
        if least is None:
            continue
        high, low = (part.net(pin) for pin in pins[analysis.view.family[part.ref]])
        values = tried.volts(high) - tried.volts(low) - least
        says = f"{part.ref} has less than the {print_value(least, 'V')} it is specified from"
        yield Margin(rule="least supply", ref=part.ref, says=says, values=values)


def _inputs(analysis: Analysis, tried: Tried) -> Iterable[Margin]:
    """Inputs that come nearer to a supply pin than the amplifier works at, at rest; a package as one."""
    units = [unit for unit in amplifiers(analysis.circuit) if unit.non_inverting in tried.system.rows]
    for part in analysis.view.parts_of("opamp"):
        low_room, high_room = (value_of(part, name) for name in ("low_input_room_v", "high_input_room_v"))
        mine = [tried.volts(unit.non_inverting) for unit in units if unit.part.ref == part.ref]
        if low_room is None or high_room is None or not mine:
            continue
        low, high = tried.volts(part.net("v-")) + low_room, tried.volts(part.net("v+")) - high_room
        says = f"an input of {part.ref} rests nearer to its supply pins than it works at"
        values = np.min([np.minimum(at - low, high - at) for at in mine], axis=0)
        yield Margin(rule="input room", ref=part.ref, says=says, values=values)


def _rooms(tried: Tried, loud: tuple[Peak, ...]) -> Iterable[Margin]:
    for peak in loud:
        one = peak.device
        signal = f"a peak of {print_value(peak.volts, 'V', figures=2)}"
        if isinstance(one, ClippingAmplifier):
            up = tried.volts(one.positive_rail) - one.high_headroom_v - tried.volts(one.output)
            down = tried.volts(one.output) - tried.volts(one.negative_rail) - one.low_headroom_v
            says = f"{_section(one.name)} cuts {signal}"
            values = np.minimum(up, down) - peak.volts
        else:
            says = f"{one.name} has no room for {signal}"
            values = _across(tried, one) - SATURATION_V - peak.volts
        yield Margin(rule="signal room", ref=one.name, says=says, values=values)


def _across(tried: Tried, one: BipolarTransistor | FieldEffectTransistor) -> FloatArray:
    top, bottom = _moving(one)
    return np.abs(tried.volts(top) - tried.volts(bottom))


def _section(name: str) -> str:
    """``U2/input-filter`` as words."""
    chip, stroke, role = name.partition("/")
    return f"the {role.replace('-', ' ')} of {chip}" if stroke else name
