"""What is drawn: every part as one symbol or several, each pin of the circuit on exactly one of them."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from pedalwright.circuit.circuit import Circuit
from pedalwright.circuit.part import Part
from pedalwright.devices.catalogue import device
from pedalwright.devices.kinds.echo_chip import AMPLIFIER_PINS
from pedalwright.devices.kinds.switch import COMMON, contacts
from pedalwright.report.drawing.symbols._family import symbol_for

TWO_PIN, TRACK, AMPLIFIER, TRANSISTOR = "two-pin", "track", "amplifier", "transistor"
REGULATOR, SWITCH, PORT, SUPPLY_PINS, CORE, BOX = "regulator", "switch", "port", "supply-pins", "core", "box"
PORT_WORDS = {"input": "Input", "output": "Output"}
ELECTROLYTIC_WORDS = ("electrolytic", "tantalum", "polarised", "polarized")


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """One symbol to place. `pins` are (name in the symbol, name at the part, net); `part` the designator.

    `form` is one of the words above; `symbol` the name in the family of symbols, or empty for a box made to
    measure. `value` is what is written beside the designator.
    """

    name: str
    part: str
    form: str
    symbol: str
    pins: tuple[tuple[str, str, str], ...]
    value: str = ""
    says: str = ""
    numbers: tuple[tuple[str, str], ...] = ()
    """(name in the symbol, package pin number)"""
    stands: str = ""
    """of a switch: the pin the arm touches"""

    def net(self, pin: str) -> str:
        """The net on a pin of the symbol; an empty string when the symbol has no such pin."""
        return next((net for name, _, net in self.pins if name == pin), "")

    @property
    def shown(self) -> str:
        """The designator as written on the sheet: a section inside a chip goes by the chip's name."""
        if self.form == PORT:
            return PORT_WORDS.get(self.says, "Supply")
        return self.name if "/" not in self.name else self.part

    @property
    def nets(self) -> tuple[str, ...]:
        """The nets of its pins, in order, repeats kept."""
        return tuple(net for _, _, net in self.pins)


def units_of(circuit: Circuit, staged: Collection[str]) -> tuple[Unit, ...]:
    """Every symbol of the circuit: its ports, then its parts in the order of the text.

    `staged` are the designators of sections that stages take; an echo chip's filters are drawn apart only
    then.
    """
    found: list[Unit] = [*_ports(circuit)]
    for part in circuit.parts:
        found.extend(_units(part, staged))
    return tuple(found)


def _ports(circuit: Circuit) -> Iterable[Unit]:
    for place, supply in enumerate(circuit.supplies, start=1):
        words = f"{supply.volts:g} V {supply.source}"
        yield _port(f"supply-{place}", supply.net, words)
    if circuit.input is not None:
        yield _port("input", circuit.input.net, circuit.input.source)
    if circuit.output is not None:
        yield _port("output", circuit.output.net, "")


def _port(name: str, net: str, value: str) -> Unit:
    ident = f"port/{name}"
    return Unit(
        name=ident, part=ident, form=PORT, symbol="port", pins=(("net", "net", net),), value=value, says=name
    )


def _units(part: Part, staged: Collection[str]) -> Iterable[Unit]:
    family = device(part.kind).family
    if family == "opamp":
        return _amplifier_units(part)
    if family == "echo-chip":
        return _echo_units(part, staged)
    if family == "optocoupler":
        return _optocoupler_units(part)
    if family == "switch":
        return _switch_units(part)
    return (_single(part, family),)


_FORMS: Mapping[str, str] = {
    "knob": TRACK,
    "bipolar": TRANSISTOR,
    "fet": TRANSISTOR,
    "regulator": REGULATOR,
}


def _single(part: Part, family: str) -> Unit:
    symbol = symbol_for(part.kind)
    if part.kind == "capacitor" and any(word in ELECTROLYTIC_WORDS for word in part.notes):
        symbol = "electrolytic"
    is_two_pin = tuple(name for name, _ in part.pins) == ("1", "2")
    form = _FORMS.get(family, TWO_PIN if is_two_pin and symbol else BOX)
    pins = tuple((name, name, net) for name, net in part.pins)
    return Unit(
        name=part.ref,
        part=part.ref,
        form=form,
        symbol=symbol if form != BOX else "",
        pins=pins,
        value=_value(part),
        says=f"{device(part.kind).title} {_value(part)}".strip(),
    )


def _value(part: Part) -> str:
    if part.law:
        return f"{part.value_text} {part.law}".strip()
    return part.value_text or part.type


def _amplifier_units(part: Part) -> Iterable[Unit]:
    entry = device(part.kind)
    numbers = {pin.name: pin.aliases[0] for pin in entry.pins if pin.aliases and pin.aliases[0].isdigit()}
    for section in entry.sections or ("",):
        prefix = f"{section}." if section else ""
        names = {pin: f"{prefix}{pin}" for pin in ("inv", "non", "out")}
        yield Unit(
            name=part.ref + section,
            part=part.ref,
            form=AMPLIFIER,
            symbol="amplifier",
            pins=tuple((pin, name, part.net(name)) for pin, name in names.items()),
            value=part.type,
            says=f"amplifier {part.type}".strip(),
            numbers=tuple((pin, numbers[name]) for pin, name in names.items() if name in numbers),
        )
    yield Unit(
        name=f"{part.ref}/supply",
        part=part.ref,
        form=SUPPLY_PINS,
        symbol="supply-pins",
        pins=tuple((pin, pin, part.net(pin)) for pin in ("v+", "v-")),
        value=part.type,
        says="supply pins",
        numbers=tuple((pin, numbers[pin]) for pin in ("v+", "v-") if pin in numbers),
    )


def _echo_units(part: Part, staged: Collection[str]) -> Iterable[Unit]:
    apart = [role for role in ("input-filter", "output-filter") if f"{part.ref}/{role}" in staged]
    taken: set[str] = set()
    for role in apart:
        inverting, output = AMPLIFIER_PINS[role]
        taken |= {inverting, output}
        yield Unit(
            name=f"{part.ref}/{role}",
            part=part.ref,
            form=AMPLIFIER,
            symbol="chip-amplifier",
            pins=(("inv", inverting, part.net(inverting)), ("out", output, part.net(output))),
            value=role.replace("-", " "),
            says=f"echo chip, {role.replace('-', ' ')}",
            numbers=(("inv", inverting), ("out", output)),
        )
    pins = tuple((name, name, net) for name, net in part.pins if name not in taken)
    yield Unit(
        name=part.ref, part=part.ref, form=CORE, symbol="", pins=pins, value="echo chip", says="Echo chip"
    )


def _optocoupler_units(part: Part) -> Iterable[Unit]:
    for word, symbol, ends in (
        ("lamp", "led", ("led+", "led-")),
        ("cell", "photo-cell", ("r1", "r2")),
    ):
        yield Unit(
            name=f"{part.ref}/{word}",
            part=part.ref,
            form=TWO_PIN,
            symbol=symbol,
            pins=tuple((str(place), pin, part.net(pin)) for place, pin in enumerate(ends, start=1)),
            value=word,
            says=f"optocoupler, {word}",
        )


def _switch_units(part: Part) -> Iterable[Unit]:
    for pole, names in contacts(part):
        pins = [(COMMON, pole + COMMON), *((name, pole + name) for name in names)]
        yield Unit(
            name=part.ref + pole.rstrip("."),
            part=part.ref,
            form=SWITCH,
            symbol="",
            pins=tuple((short, pin, part.net(pin)) for short, pin in pins),
            says="Switch",
            stands=str(part.setting) if part.setting is not None else names[0],
        )
