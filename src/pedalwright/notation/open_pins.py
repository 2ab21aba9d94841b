"""Pins that lead nowhere, where the part needs them: a forgotten lug, an input to nothing."""

from collections.abc import Iterable, Mapping

from pedalwright.circuit.circuit import GROUND, Circuit, PinOf
from pedalwright.circuit.part import Part
from pedalwright.circuit.span import Span
from pedalwright.devices.catalogue import device
from pedalwright.devices.device import is_unused
from pedalwright.notation.draft import Draft, mention
from pedalwright.notation.words import listed

_NEEDED = {
    "bipolar": "A transistor works with all its pins joined.",
    "fet": "A transistor works with all its pins joined.",
    "optocoupler": "The lamp and the cell have two ends each.",
}
"""families whose pins all have to lead somewhere, and why"""
_SECTION = "An input that leads nowhere picks up whatever is near, and the output goes to one of its rails."
_KNOB_ALONE = "Turning it changes nothing."
_HANGING = "With a lug open it is a resistor between the other two, not a divider."
_WIPER = "With its wiper open it is a fixed resistor."


def note_open_pins(circuit: Circuit, draft: Draft, first_mention: Mapping[str, Span]) -> None:
    """Note a caution for every part with pins that lead nowhere."""
    for part in circuit.parts:
        for pins, why, cure in _open(circuit, part):
            names = listed(mention(part.ref, pin) for pin in pins)
            spans = [first_mention[name] for pin in pins if (name := f"{part.ref}.{pin}") in first_mention]
            draft.notebook.caution(
                "pin.open",
                spans[0] if spans else part.span,
                f"{names} {'leads' if len(pins) == 1 else 'lead'} nowhere.",
                why,
                cure,
            )


def _open(circuit: Circuit, part: Part) -> Iterable[tuple[tuple[str, ...], str, str]]:
    """Groups of open pins that matter, with why and the cure."""
    family = device(part.kind).family
    if family == "knob":
        yield from _open_lugs(circuit, part)
    elif family == "opamp":
        yield from _open_inputs(part)
    elif family in _NEEDED:
        pins = tuple(pin for pin, _ in part.pins if is_unused(part, pin))
        if pins:
            cure = (
                f"Walk to it, for instance: {mention(part.ref, pins[0])} > gnd, or to the net it belongs on."
            )
            yield pins, _NEEDED[family], cure


def _open_lugs(circuit: Circuit, part: Part) -> Iterable[tuple[tuple[str, ...], str, str]]:
    """A track wired with two lugs is a variable resistor and fine, while both of them lead somewhere."""
    pins = tuple(pin for pin, _ in part.pins if is_unused(part, pin))
    if len(pins) >= 2:
        yield pins, _KNOB_ALONE, f"Walk to at least two of its lugs, or delete the {part.kind} {part.ref}."
    elif pins == ("2",):
        yield pins, _WIPER, f"Walk to {part.ref}.2, or write a resistor in its place."
    elif pins and _wiper_only_listens(circuit, part):
        lug = mention(part.ref, pins[0])
        yield pins, _HANGING, f"Walk to {lug}, for instance: {lug} > gnd."


def _wiper_only_listens(circuit: Circuit, part: Part) -> bool:
    """All that hangs on the wiper takes no current worth a name, so the track divides nothing."""
    net = part.net("2")
    others = [pin for pin in circuit.pins_on[net] if pin.part.ref != part.ref]
    ports = [port.net for port in (*circuit.supplies, circuit.input) if port is not None]
    if net == GROUND or net in ports or not (others or _is_output(circuit, net)):
        return False
    return all(_is_input(pin) or _couples_on(circuit, pin) for pin in others)


def _is_output(circuit: Circuit, net: str) -> bool:
    return circuit.output is not None and circuit.output.net == net


def _is_input(pin: PinOf) -> bool:
    family, name = device(pin.part.kind).family, pin.pin.rpartition(".")[2]
    return (family == "opamp" and name in ("non", "inv")) or (family == "fet" and name == "g")


def _couples_on(circuit: Circuit, pin: PinOf) -> bool:
    """A capacitor on to the output jack, or to an input that takes no current."""
    if pin.part.kind != "capacitor":
        return False
    far = next(net for name, net in pin.part.pins if name != pin.pin)
    listening = any(
        _is_input(other) and other.pin.rpartition(".")[2] != "inv" for other in circuit.pins_on[far]
    )
    return listening or _is_output(circuit, far)


def _open_inputs(part: Part) -> Iterable[tuple[tuple[str, ...], str, str]]:
    """Inputs that lead nowhere, in a section of which anything else is used."""
    for section in device(part.kind).sections or ("",):
        prefix = f"{section}." if section else ""
        pins = [f"{prefix}{name}" for name in ("non", "inv", "out")]
        loose = tuple(pin for pin in pins if is_unused(part, pin))
        if not loose or len(loose) == len(pins):
            continue
        cure = f"Walk to it: {mention(part.ref, loose[0])} > NET, or take the whole section out."
        if loose == (pins[2],):
            yield loose, "Nothing comes of a section whose output leads nowhere.", cure
        else:
            yield loose, _SECTION, cure
