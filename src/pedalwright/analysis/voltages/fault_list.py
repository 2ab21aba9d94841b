"""Single faults a direct-current meter can see, each as a change of the circuit's equations.

Opens are resistances of a teraohm, shorts conductances of 20 S, a dead amplifier is one pushed to a rail by a
large voltage in series with its input. A capacitor that has come off changes nothing at rest and is not here.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import (
    BipolarTransistor,
    ClippingAmplifier,
    FieldEffectTransistor,
    Junction,
    Primitive,
    RegulatedOutput,
    Resistance,
)
from pedalwright.devices.catalogue import device
from pedalwright.devices.ports import supply_name

OPEN_OHMS = 1e12
SHORT_S = 20.0
DEAD = 1e-80
"""factor on a junction's or a channel's current that leaves none of it"""
STUCK_V = 100.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing wrong: `words` for it, the `part`, values by name, pairs of nets joined, and volts in series
    with amplifier inputs by the amplifier's name.
    """

    words: str
    part: str
    values: Mapping[str, float] = field(default_factory=dict)
    joined: tuple[tuple[str, str], ...] = ()
    pushed: Mapping[str, float] = field(default_factory=dict)


def single_faults(analysis: Analysis) -> tuple[Fault, ...]:
    """Every single fault of the circuit, in the order of the text; supplies missing come first."""
    found = [
        Fault(words=f"no supply at {one.net}", part="", values={supply_name(one): 0.0})
        for one in analysis.circuit.supplies
    ]
    for part in analysis.circuit.parts:
        found += _of_part(analysis, part)
    known = {*analysis.system.names, *_laws(analysis)}
    return tuple(
        fault
        for fault in found
        if set(fault.values) <= known and all(_apart(analysis, a, b) for a, b in fault.joined)
    )


def _laws(analysis: Analysis) -> Iterable[str]:
    for bank in analysis.system.banks:
        yield from (f"{name}.{key}" for name in bank.names for key in bank.parameters)


def _apart(analysis: Analysis, a: str, b: str) -> bool:
    rows = analysis.system.rows
    return a in rows and b in rows and rows[a] != rows[b]


def _of_part(analysis: Analysis, part: Part) -> list[Fault]:
    family = device(part.kind).family
    if family == "capacitor":
        return [_short(part, *part.nets)]
    found: list[Fault] = []
    for one in analysis.primitives:
        if one.owner == part.ref:
            found += _of_resistance(part, family, one) if isinstance(one, Resistance) else _of_law(part, one)
    return found + [fault for name in _amplifiers(analysis, part) for fault in _stuck(part, name)]


def _of_resistance(part: Part, family: str, one: Resistance) -> list[Fault]:
    if family == "resistor" and one.name == part.ref:
        return [_open(part, one.name), _short(part, one.a, one.b)]
    if family == "knob":
        lugs = one.name.rpartition(".")[2].replace("-", " and ")
        return [_open(part, one.name, f"{part.ref} open between lugs {lugs}")]
    return []


def _of_law(part: Part, one: Primitive) -> list[Fault]:
    match one:
        case Junction() if one.name == part.ref:
            return _diode(part, one)
        case BipolarTransistor():
            shorted = _short(part, one.base, one.emitter, f"{part.ref} shorted from base to emitter")
            return [*_transistor(part, one.name, "saturation_a", one.saturation_a, "c", "e"), shorted]
        case FieldEffectTransistor():
            return _transistor(part, one.name, "beta", one.beta, "d", "s")
        case RegulatedOutput():
            return _regulator(part, one)
    return []


def _open(part: Part, name: str, words: str = "") -> Fault:
    return Fault(words=words or f"{part.ref} open", part=part.ref, values={name: OPEN_OHMS})


def _short(part: Part, a: str, b: str, words: str = "") -> Fault:
    return Fault(words=words or f"{part.ref} shorted", part=part.ref, joined=((a, b),))


def _diode(part: Part, one: Junction) -> list[Fault]:
    turned = "" if part.kind == "zener-diode" else " or turned round"
    gone = {f"{one.name}.saturation_a": one.saturation_a * DEAD}
    opened = Fault(words=f"{part.ref} open{turned}", part=part.ref, values=gone)
    return [opened, _short(part, *part.nets)]


def _transistor(part: Part, name: str, key: str, figure: float, high: str, low: str) -> list[Fault]:
    words = f"{part.ref} passes no current (dead, a leg open, or legs swapped)"
    dead = Fault(words=words, part=part.ref, values={f"{name}.{key}": figure * DEAD})
    ends = {"c": "collector", "e": "emitter", "d": "drain", "s": "source"}
    said = f"{part.ref} shorted from {ends[high]} to {ends[low]}"
    return [dead, _short(part, part.net(high), part.net(low), said)]


def _regulator(part: Part, one: RegulatedOutput) -> list[Fault]:
    words = f"{part.ref} gives nothing (dead, or its input open)"
    through = f"{part.ref} passes its whole input on (shorted or turned round)"
    return [
        Fault(words=words, part=part.ref, values={f"{one.name}.volts": 0.0}),
        _short(part, one.input, one.output, through),
    ]


def _amplifiers(analysis: Analysis, part: Part) -> list[str]:
    refs = {unit.ref for unit in device(part.kind).amplifiers(part)}
    return [
        one.name
        for one in analysis.primitives
        if isinstance(one, ClippingAmplifier) and one.name in refs and one.name in analysis.system.branches
    ]


def _stuck(part: Part, name: str) -> list[Fault]:
    section = name.rpartition("/")[2].replace("-", " ")
    who = f"the {section} of {part.ref}" if "/" in name else name
    return [
        Fault(words=f"{who} stuck {way}", part=part.ref, pushed={name: sign * STUCK_V})
        for way, sign in (("high", -1.0), ("low", 1.0))
    ]
