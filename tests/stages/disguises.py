"""The same circuit in other clothes: nothing a recogniser says may depend on them."""

from dataclasses import replace
from random import Random

from pedalwright.circuit.circuit import GROUND, Circuit
from pedalwright.circuit.part import Part

MIRRORED_LAW = {"audio": "reverse-audio", "reverse-audio": "audio"}
MIRRORED_PIN = {"1": "3", "3": "1"}


def shuffled(circuit: Circuit, random: Random) -> Circuit:
    """The parts in another order."""
    parts = list(circuit.parts)
    random.shuffle(parts)
    return replace(circuit, parts=tuple(parts))


def renamed(circuit: Circuit, random: Random) -> Circuit:
    """Every net but ground under another name."""
    numbers = list(range(len(circuit.nets)))
    random.shuffle(numbers)
    names = {net: f"N{number}" for net, number in zip(circuit.nets, numbers, strict=True)}
    names |= {net: net for net in circuit.nets if net == GROUND or "/" in net}
    return replace(
        circuit,
        parts=tuple(
            replace(part, pins=tuple((pin, names[net]) for pin, net in part.pins)) for part in circuit.parts
        ),
        supplies=tuple(replace(port, net=names[port.net]) for port in circuit.supplies),
        input=circuit.input and replace(circuit.input, net=names[circuit.input.net]),
        output=circuit.output and replace(circuit.output, net=names[circuit.output.net]),
        points=(),
    )


def reversed_parts(circuit: Circuit, random: Random) -> Circuit:
    """Resistors and unpolarised capacitors the other way round."""
    return replace(circuit, parts=tuple(_turned(part) for part in circuit.parts))


def _turned(part: Part) -> Part:
    polar = any("electrolytic" in note or "tantalum" in note for note in part.notes)
    if part.kind not in ("resistor", "capacitor", "inductor") or polar:
        return part
    (first, one), (second, two) = part.pins
    return replace(part, pins=((first, two), (second, one)))


def mirrored_knobs(circuit: Circuit, random: Random) -> Circuit:
    """Knobs wired and turned the other way round."""
    return replace(circuit, parts=tuple(_mirrored(part) for part in circuit.parts))


def _mirrored(part: Part) -> Part:
    if part.kind not in ("knob", "trim"):
        return part
    nets = dict(part.pins)
    pins = tuple((pin, nets[MIRRORED_PIN.get(pin, pin)]) for pin, _ in part.pins)
    position = 10.0 - part.setting if isinstance(part.setting, int | float) else part.setting
    return replace(part, pins=pins, setting=position, law=MIRRORED_LAW.get(part.law, part.law))


def split(circuit: Circuit, ref: str) -> Circuit:
    """One resistor as two halves in series; the second half is called R900."""
    part = circuit.by_ref[ref]
    (first, one), (second, two) = part.pins
    assert part.value is not None
    middle = "~R900.1"
    half = replace(part, value=part.value / 2, pins=((first, one), (second, middle)))
    other = replace(half, ref="R900", pins=((first, middle), (second, two)))
    parts = [half if item.ref == ref else item for item in circuit.parts]
    parts.insert(parts.index(half) + 1, other)
    return replace(circuit, parts=tuple(parts))


DISGUISES = (shuffled, renamed, reversed_parts, mirrored_knobs)
