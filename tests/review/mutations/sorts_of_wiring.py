"""Mistakes with the iron: wrong pins, wrong nets, bridges, wrong supplies."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise

from pedalwright.circuit.circuit import GROUND, Circuit
from pedalwright.circuit.part import Part
from pedalwright.circuit.ports import Supply
from pedalwright.devices.device import unused_net

from .mutant import Mutant, joined, parts_of, rails, rewired, swapped, with_part

PACKAGES: dict[str, Sequence[Sequence[str]]] = {
    # Pins side by side on each row, as makers of standard op-amps put them (common practice, no source).
    "opamp": (("inv", "non", "v-"), ("out", "v+")),
    "dual-opamp": (("a.out", "a.inv", "a.non", "v-"), ("v+", "b.out", "b.inv", "b.non")),
    "quad-opamp": (
        ("a.out", "a.inv", "a.non", "v+", "b.non", "b.inv", "b.out"),
        ("d.out", "d.inv", "d.non", "v-", "c.non", "c.inv", "c.out"),
    ),
    "echo-chip": ([f"{pin}" for pin in range(1, 9)], [f"{pin}" for pin in range(9, 17)]),
}
TRANSISTORS = {"npn": "pnp", "pnp": "npn", "n-jfet": "p-jfet", "p-jfet": "n-jfet"}
OTHER_TYPES = {"pnp": "2N3906", "npn": "2N3904", "p-jfet": "2N5460", "n-jfet": "2N5457"}


def op_amp_next_pin(circuit: Circuit) -> Iterable[Mutant]:
    """Two wires of an op-amp one pin off."""
    yield from _next_pins(circuit, "opamp", "dual-opamp", "quad-opamp")


def echo_chip_next_pin(circuit: Circuit) -> Iterable[Mutant]:
    """Two wires of an echo chip one pin off."""
    yield from _next_pins(circuit, "echo-chip")


def _next_pins(circuit: Circuit, *kinds: str) -> Iterable[Mutant]:
    for part in parts_of(circuit, *kinds):
        for row in PACKAGES[part.kind]:
            for one, other in pairwise(row):
                if part.net(one) != part.net(other):
                    told = f"{part.ref}: wires of {one} and {other} exchanged"
                    yield _mutant(part, told, with_part(circuit, swapped(part, one, other)))


def inputs_swapped(circuit: Circuit) -> Iterable[Mutant]:
    """An op-amp's inputs exchanged."""
    for part, section in _sections(circuit):
        if part.net(f"{section}inv") != part.net(f"{section}non"):
            told = f"{part.ref}: {section}inv and {section}non exchanged"
            yield _mutant(part, told, with_part(circuit, swapped(part, f"{section}inv", f"{section}non")))


def _sections(circuit: Circuit) -> Iterable[tuple[Part, str]]:
    for part in circuit.parts:
        if part.kind.endswith("opamp"):
            for pin, _ in part.pins:
                if pin.endswith("out"):
                    yield part, pin.removesuffix("out")


def supply_pins_swapped(circuit: Circuit) -> Iterable[Mutant]:
    """An op-amp turned round in its socket, as far as its supply goes."""
    for part in circuit.parts:
        if part.kind.endswith("opamp"):
            told = f"{part.ref}: v+ and v- exchanged"
            yield _mutant(part, told, with_part(circuit, swapped(part, "v+", "v-")))


def supply_pin_open(circuit: Circuit) -> Iterable[Mutant]:
    """A chip whose supply wire was forgotten."""
    for part in circuit.parts:
        pins = ("v+", "v-") if part.kind.endswith("opamp") else ("1",) if part.kind == "echo-chip" else ()
        for pin in pins:
            changed = with_part(circuit, rewired(part, {pin: unused_net(part.ref, pin)}))
            yield _mutant(part, f"{part.ref}: nothing on {pin}", changed)


def chip_on_wrong_rail(circuit: Circuit) -> Iterable[Mutant]:
    """An echo chip on the pedal's supply instead of its regulator; an op-amp on the regulator or on half."""
    feeds = [supply.net for supply in circuit.supplies]
    regulated = [part.net("out") for part in parts_of(circuit, "regulator")]
    for part in circuit.parts:
        pin = "v+" if part.kind.endswith("opamp") else "1" if part.kind == "echo-chip" else ""
        others = (*feeds, *regulated) if pin else ()
        for net in dict.fromkeys(others):
            if net != part.net(pin):
                changed = with_part(circuit, rewired(part, {pin: net}))
                yield _mutant(part, f"{part.ref}: {pin} on {net}", changed)


def regulator_swapped(circuit: Circuit) -> Iterable[Mutant]:
    """A regulator's pins exchanged, two at a time."""
    for part in parts_of(circuit, "regulator"):
        for one, other in (("in", "out"), ("in", "gnd"), ("out", "gnd")):
            told = f"{part.ref}: {one} and {other} exchanged"
            yield _mutant(part, told, with_part(circuit, swapped(part, one, other)))


def transistor_rotated(circuit: Circuit) -> Iterable[Mutant]:
    """Two legs of a transistor exchanged."""
    for part in parts_of(circuit, *TRANSISTORS):
        pins = [pin for pin, _ in part.pins]
        for one, other in ((pins[0], pins[1]), (pins[1], pins[2]), (pins[0], pins[2])):
            if part.net(one) != part.net(other):
                told = f"{part.ref}: {one} and {other} exchanged"
                yield _mutant(part, told, with_part(circuit, swapped(part, one, other)))


def wrong_polarity(circuit: Circuit) -> Iterable[Mutant]:
    """An NPN transistor where a PNP one belongs, and so on."""
    for part in parts_of(circuit, *TRANSISTORS):
        kind = TRANSISTORS[part.kind]
        other = replace(part, kind=kind, type=OTHER_TYPES[kind])
        yield _mutant(part, f"{part.ref}: {kind} in place of {part.kind}", with_part(circuit, other))


def outer_lugs_swapped(circuit: Circuit) -> Iterable[Mutant]:
    """A knob's outer lugs exchanged."""
    yield from _lugs(circuit, (("1", "3"),))


def wiper_swapped(circuit: Circuit) -> Iterable[Mutant]:
    """A knob's wiper exchanged with an outer lug."""
    yield from _lugs(circuit, (("1", "2"), ("2", "3")))


def _lugs(circuit: Circuit, pairs: Sequence[tuple[str, str]]) -> Iterable[Mutant]:
    for part in circuit.knobs:
        for one, other in pairs:
            if part.net(one) != part.net(other):
                told = f"{part.ref}: lugs {one} and {other} exchanged"
                yield _mutant(part, told, with_part(circuit, swapped(part, one, other)))


def lead_on_next_net(circuit: Circuit) -> Iterable[Mutant]:
    """One end of a part on a net that a neighbour goes to: the next hole of the board."""
    fed = rails(circuit)
    for part in parts_of(circuit, "resistor", "capacitor"):
        for pin, net in part.pins:
            if net in fed:
                continue
            for beside in _next_nets(circuit, part, net)[:2]:
                changed = with_part(circuit, rewired(part, {pin: beside}))
                yield _mutant(part, f"{part.ref}.{pin} on {_said(beside)}", changed)


def _next_nets(circuit: Circuit, part: Part, net: str) -> list[str]:
    """The nets one part further on from a net, in the order of the text."""
    beside = [other for one in circuit.pins_on[net] if one.part.ref != part.ref for other in one.part.nets]
    return [other for other in dict.fromkeys(beside) if other not in part.nets and "/" not in other]


def signal_grounded(circuit: Circuit) -> Iterable[Mutant]:
    """A bridge of solder from a signal to ground."""
    fed = rails(circuit)
    for net in circuit.nets:
        pins = circuit.pins_on[net]
        if net in fed or "/" in net or len(pins) < 2:
            continue
        refs = tuple(dict.fromkeys(one.part.ref for one in pins))
        told = f"{_said(net)} bridged to ground"
        yield Mutant(place=told, told=told, culprits=refs, circuit=joined(circuit, GROUND, net))


def pins_bridged(circuit: Circuit) -> Iterable[Mutant]:
    """A bridge of solder between two pins of a chip side by side."""
    for part in parts_of(circuit, *PACKAGES):
        for row in PACKAGES[part.kind]:
            for one, other in pairwise(row):
                first, second = part.net(one), part.net(other)
                fed = rails(circuit)
                if first == second or {first, second} <= fed or "/" in first or "/" in second:
                    continue
                kept, lost = (second, first) if second in fed else (first, second)
                told = f"{part.ref}: {one} and {other} bridged"
                yield _mutant(part, told, joined(circuit, kept, lost))


def supply_reversed(circuit: Circuit) -> Iterable[Mutant]:
    """The battery clip the wrong way round."""
    for supply in circuit.supplies:
        yield _fed(circuit, supply, -supply.volts, "turned round")


def supply_too_high(circuit: Circuit) -> Iterable[Mutant]:
    """Another adaptor: twice the voltage, or 12 V."""
    for supply in circuit.supplies:
        for volts in (12.0, 18.0, 24.0):
            if volts > supply.high_v:
                yield _fed(circuit, supply, volts, f"of {volts:g} V")


def _fed(circuit: Circuit, supply: Supply, volts: float, words: str) -> Mutant:
    moved = replace(supply, volts=volts, low_v=volts, high_v=volts)
    supplies = tuple(moved if one is supply else one for one in circuit.supplies)
    told = f"supply {supply.net} {words}"
    changed = replace(circuit, supplies=supplies)
    return Mutant(place=told, told=told, culprits=(supply.net,), circuit=changed)


def _said(net: str) -> str:
    return net.removeprefix("~")


def _mutant(part: Part, told: str, changed: Circuit) -> Mutant:
    return Mutant(place=told, told=told, culprits=(part.ref,), circuit=changed)
