"""A fresh text for any circuit; reading it gives the circuit back (places in the text apart)."""

from pedalwright.circuit.circuit import Circuit
from pedalwright.circuit.part import Part
from pedalwright.circuit.ports import Acceptance, SignalInput, Supply
from pedalwright.devices.catalogue import device, two_pin_device
from pedalwright.devices.device import Pin, is_unused
from pedalwright.notation.draft import mention
from pedalwright.notation.joining import UNTITLED
from pedalwright.notation.words import RESERVED, designator, is_name
from pedalwright.units.values import Quantity, ValueMistake, parse_value, write_value

_LONG_ENOUGH = 90
"""columns after which the pins of a part go on in walks of their own"""


def write_circuit(circuit: Circuit) -> str:
    """The circuit in the notation, parts in their order. ValueError for a net whose name cannot be written.

    A part without a section after one with a section joins that section, which lasts until the next.
    """
    heads = [f"pedal {_free(circuit.title)}"] if circuit.title != UNTITLED else []
    heads += [f"about {_free(text)}" for text in circuit.about]
    ports = [_supply_line(supply) for supply in circuit.supplies]
    ports += [_input_line(circuit.input)] if circuit.input else []
    ports += [f"output {_named(circuit.output.net)} {_ohms(circuit.output.ohms)}"] if circuit.output else []
    wants = [f"want {want.text}" for want in circuit.wants]
    points = [f"point {net_word(circuit, point.net)} {_free(point.text)}" for point in circuit.points]
    accepts = [_acceptance_line(circuit, acceptance) for acceptance in circuit.accepts]
    blocks = (heads, ports, _part_lines(circuit), wants + points + accepts)
    return "\n".join("".join(f"{line}\n" for line in block) for block in blocks if block)


def net_word(circuit: Circuit, net: str) -> str:
    """How a text mentions a net: by its name, or by its first pin when it has none."""
    if not _is_nameless(net):
        return _named(net)
    first = circuit.pins_on[net][0]
    return mention(first.part.ref, first.pin)


def value_word(part: Part) -> str:
    """The part's value as written when that is still its value, else written anew; empty when it has none."""
    quantity_name = device(part.kind).value_of
    if part.value is None or not quantity_name:
        return ""
    quantity = Quantity[quantity_name.upper()]
    try:
        if parse_value(part.value_text, quantity) == part.value:
            return part.value_text
    except ValueMistake:
        pass
    return write_value(part.value, quantity)


def _free(text: str) -> str:
    """Free text in one line, without what would start a comment."""
    return " ".join(word.lstrip("#") for word in text.split() if word.strip("#")) or "-"


def _is_nameless(net: str) -> bool:
    return net.startswith("~") or "/" in net


def _named(net: str) -> str:
    if not is_name(net) or designator(net) or net in RESERVED:
        raise ValueError(f"the net name {net!r} cannot be written in the notation")
    return net


def _volts(volts: float) -> str:
    return write_value(volts, Quantity.VOLTAGE)


def _ohms(ohms: float) -> str:
    return write_value(ohms, Quantity.RESISTANCE)


def _supply_line(supply: Supply) -> str:
    line = f"supply {_named(supply.net)} {_volts(supply.volts)} {supply.source}"
    if supply.low_v == supply.high_v == supply.volts:
        return line
    return f"{line} {_volts(supply.low_v)}..{_volts(supply.high_v)}"


def _input_line(port: SignalInput) -> str:
    if port.source == "custom":
        return f"input {_named(port.net)} {_ohms(port.ohms)} {_volts(port.level_v)}"
    return f"input {_named(port.net)} {port.source}"


def _acceptance_line(circuit: Circuit, acceptance: Acceptance) -> str:
    named = [one if one in circuit.by_ref else _place_word(circuit, one) for one in acceptance.parts]
    return " ".join(("accept", acceptance.code, *named, "because", _free(acceptance.reason)))


def _place_word(circuit: Circuit, place: str) -> str:
    """A net as the text mentions it; a section of a package as it is."""
    return net_word(circuit, place) if place in circuit.pins_on else place


def _part_lines(circuit: Circuit) -> list[str]:
    """Parts in order, each section's heading before its first part."""
    lines: list[str] = []
    coming = [section.title for section in circuit.sections]
    current = ""
    for part in circuit.parts:
        if part.section not in ("", current):
            passed = coming.index(part.section) + 1 if part.section in coming else 0
            titles = coming[:passed] or [part.section]
            coming, current = coming[passed:], part.section
            lines += _headings(titles)
        lines += _lines_of(circuit, part)
    return lines + _headings(coming)


def _headings(titles: list[str]) -> list[str]:
    return [line for title in titles for line in ("", f"section {_free(title)}")]


def _lines_of(circuit: Circuit, part: Part) -> list[str]:
    match part.kind:
        case "knob" | "trim":
            position = f"{part.setting:g}" if isinstance(part.setting, float) else part.setting
            head = f"{part.kind} {part.ref} {value_word(part)} {part.law} at {position}"
        case "switch":
            head = _switch_line(part)
        case _ if _fits_a_walk(part):
            left, right = (net_word(circuit, net) for net in part.nets)
            return [f"{left} > {part.ref} {part.type or value_word(part)}{_notes(part)} > {right}"]
        case _:
            return _part_statement(circuit, part)
    return [head, *_walks_to_pins(circuit, part, pins_of(part))]


def pins_of(part: Part) -> tuple[Pin, ...]:
    """The part's pins; those of a switch are known by the part alone."""
    if part.kind == "switch":
        return tuple(Pin(name=name) for name, _ in part.pins)
    return device(part.kind).pins_for(part)


def _switch_line(part: Part) -> str:
    poles = f" poles={pole_count(part)}" if pole_count(part) > 1 else ""
    return f"switch {part.ref} {' '.join(switch_positions(part))} at {part.setting}{poles}"


def switch_positions(part: Part) -> tuple[str, ...]:
    """The positions of a switch in the order written."""
    contacts = [pin.rpartition(".")[2] for pin, _ in part.pins]
    return tuple(contacts[1 : len(contacts) // pole_count(part)])


def pole_count(part: Part) -> int:
    """How many sets of contacts of a switch move together."""
    return sum(pin.rpartition(".")[2] == "common" for pin, _ in part.pins)


def _fits_a_walk(part: Part) -> bool:
    word, found = part.type or value_word(part), designator(part.ref)
    if not word or found is None or len(part.pins) != 2 or any(is_unused(part, pin) for pin, _ in part.pins):
        return False
    entry = two_pin_device(found.letters, word, part.notes)
    return entry is not None and entry.kind == part.kind and not (part.type and part.value is not None)


def _notes(part: Part) -> str:
    notes = [*part.notes, *(f"{key}={value}" for key, value in part.options)]
    return f" ({', '.join(notes)})" if notes else ""


def _part_statement(circuit: Circuit, part: Part) -> list[str]:
    """A part line with as many pins as fit; the others follow as walks."""
    line = " ".join(filter(None, ("part", part.ref, part.kind, part.type or value_word(part))))
    line += "".join(f" {key}={value}" for key, value in part.options)
    left_over: list[Pin] = []
    for pin in pins_of(part):
        if left_over or len(line) > _LONG_ENOUGH:
            left_over.append(pin)
        elif _must_be_said(circuit, part, pin):
            line += f" {pin.name}={net_word(circuit, part.net(pin.name))}"
    notes = f" ({', '.join(part.notes)})" if part.notes else ""
    return [line + notes, *_walks_to_pins(circuit, part, tuple(left_over))]


def _must_be_said(circuit: Circuit, part: Part, pin: Pin) -> bool:
    """False when a reader would put the pin on its net anyway."""
    net = part.net(pin.name)
    if is_unused(part, pin.name):
        return bool(pin.default)
    return net != pin.default and net_word(circuit, net) != mention(part.ref, pin.name)


def _walks_to_pins(circuit: Circuit, part: Part, pins: tuple[Pin, ...]) -> list[str]:
    return [
        f"{mention(part.ref, pin.name)} > {net_word(circuit, part.net(pin.name))}"
        for pin in pins
        if _must_be_said(circuit, part, pin)
    ]
