"""Which devices there are, and what a whole circuit expands into: the front door of this folder."""

from collections.abc import Iterable, Mapping

from pedalwright.circuit.circuit import Circuit
from pedalwright.circuit.noise import OwnNoise
from pedalwright.circuit.primitives import Primitive
from pedalwright.devices.device import AmplifierUnit, Device
from pedalwright.devices.ports import expand_input, expand_output, expand_supply
from pedalwright.registry import load_family
from pedalwright.units.values import Quantity, ValueMistake, parse_value

_WALKING = {"R": "resistor", "C": "capacitor", "L": "inductor", "F": "fuse", "BT": "battery"}
"""Designator letters that mean one kind only."""


def devices() -> tuple[Device, ...]:
    """Every device, in the order of their file names."""
    return load_family("pedalwright.devices.kinds", Device, "DEVICE")


def kinds() -> tuple[str, ...]:
    """The words of the notation for all kinds."""
    return tuple(entry.kind for entry in devices())


def device(kind: str) -> Device:
    """The device of a kind; KeyError for a word that is none of `kinds`."""
    for entry in devices():
        if entry.kind == kind:
            return entry
    raise KeyError(kind)


def two_pin_device(letters: str, word: str, notes: tuple[str, ...] = ()) -> Device | None:
    """The device of a two-pin part in a walk: ``R5 220k``, ``D1 1N4148``, ``D2 red (led)``, ``D3 5V1
    (zener)``.

    `letters` are those of the designator, `word` its value or type as written, `notes` the words in
    parentheses. Ask `Device.type_named(word)` whether the word is a type; else it is a value of
    `Device.value_of`. None when no device fits: letters of something else, or a diode type without figures.
    """
    if letters in _WALKING:
        return device(_WALKING[letters])
    if letters != "D":
        return None
    noted = [
        kind for note in notes for kind in (note.lower(), f"{note.lower()}-diode") if kind in diode_kinds()
    ]
    candidates = [device(kind) for kind in noted or diode_kinds()]
    by_type = next((entry for entry in candidates if entry.type_named(word)), None)
    if by_type is not None:
        return by_type
    if noted or _is_voltage(word):
        return next((entry for entry in candidates if entry.value_of), None)
    return None


def _is_voltage(word: str) -> bool:
    """True for 5V1 and 12V, not for a bare number or a type number."""
    try:
        parse_value(word, Quantity.VOLTAGE)
    except ValueMistake:
        return False
    return "V" in word.upper()


def diode_kinds() -> tuple[str, ...]:
    """The kinds a part with the letter D can be."""
    return tuple(entry.kind for entry in devices() if entry.family == "diode")


def diode_types() -> tuple[str, ...]:
    """Every diode type with figures, for the sentence about one without."""
    return tuple(name for kind in diode_kinds() for name in device(kind).types)


def expand_circuit(circuit: Circuit) -> tuple[Primitive, ...]:
    """Everything the solver needs: parts in the order of the text, then supplies, the source ``input``, the
    ``output load``.
    """
    return tuple(_primitives(circuit))


def _primitives(circuit: Circuit) -> Iterable[Primitive]:
    for part in circuit.parts:
        yield from device(part.kind).expand(part)
    for supply in circuit.supplies:
        yield from expand_supply(supply)
    if circuit.input is not None:
        yield from expand_input(circuit.input)
    if circuit.output is not None:
        yield from expand_output(circuit.output)


def amplifiers(circuit: Circuit) -> tuple[AmplifierUnit, ...]:
    """Every amplifier section of every part, used or not, in the order of the text."""
    return tuple(unit for part in circuit.parts for unit in device(part.kind).amplifiers(part))


def own_noise(circuit: Circuit) -> Mapping[str, OwnNoise]:
    """The published noise of every part that has any, by the name of the primitive it belongs to."""
    found = (noise for part in circuit.parts for noise in device(part.kind).noise(part))
    return {noise.name: noise for noise in found}
