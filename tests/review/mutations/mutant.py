"""What a mutant is, and the ways to change a circuit that all sorts share."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from pedalwright.circuit.circuit import GROUND, Circuit
from pedalwright.circuit.part import Part


@dataclass(frozen=True, slots=True, kw_only=True)
class Mutant:
    """One circuit with one mistake: where it was made, in words, and the parts it was made to.

    `culprits` are designators, knobs, switches, or the net of a supply.
    """

    place: str
    told: str
    culprits: tuple[str, ...]
    circuit: Circuit


def with_part(circuit: Circuit, part: Part) -> Circuit:
    """The circuit with one part changed."""
    return circuit.with_parts({part.ref: part})


def without_part(circuit: Circuit, ref: str) -> Circuit:
    """The circuit as if a part had been forgotten."""
    return tidied(replace(circuit, parts=tuple(part for part in circuit.parts if part.ref != ref)))


def rewired(part: Part, nets: Mapping[str, str]) -> Part:
    """The part with some pins on other nets."""
    return replace(part, pins=tuple((pin, nets.get(pin, net)) for pin, net in part.pins))


def swapped(part: Part, one: str, other: str) -> Part:
    """The part with what is on two of its pins exchanged."""
    return rewired(part, {one: part.net(other), other: part.net(one)})


def revalued(part: Part, factor: float) -> Part:
    """The part with its value times a factor."""
    assert part.value is not None
    return replace(part, value=float(f"{part.value * factor:.6g}"), value_text="")


def joined(circuit: Circuit, kept: str, lost: str) -> Circuit:
    """The circuit with two nets made one."""
    parts = tuple(
        rewired(part, {pin: kept for pin, net in part.pins if net == lost}) for part in circuit.parts
    )
    moved = replace(circuit, parts=parts)
    if moved.output is not None and moved.output.net == lost:
        moved = replace(moved, output=replace(moved.output, net=kept))
    if moved.input is not None and moved.input.net == lost:
        moved = replace(moved, input=replace(moved.input, net=kept))
    return tidied(moved)


def bridged(circuit: Circuit, ref: str) -> Circuit:
    """The circuit as if a piece of wire stood in a part's place."""
    first, second = circuit.by_ref[ref].nets
    kept, lost = (second, first) if is_named_port(circuit, second) else (first, second)
    return joined(without_part(circuit, ref), kept, lost)


def is_named_port(circuit: Circuit, net: str) -> bool:
    """Ground, a supply, the input or the output: a net whose name must stay."""
    ports = (*circuit.supplies, circuit.input, circuit.output)
    return net == GROUND or net in {port.net for port in ports if port is not None}


def tidied(circuit: Circuit) -> Circuit:
    """Without test points on nets that are no more."""
    nets = set(circuit.nets)
    return replace(circuit, points=tuple(point for point in circuit.points if point.net in nets))


def parts_of(circuit: Circuit, *kinds: str) -> Iterable[Part]:
    """The parts of some kinds."""
    return [part for part in circuit.parts if part.kind in kinds]


SMALL_OHMS = 470.0
"""a resistor at a supply that is no larger feeds what is behind it"""


def rails(circuit: Circuit) -> set[str]:
    """Ground, and nets that are fed: the supplies, and what a diode, a small resistor, a regulator feeds."""
    found = {GROUND, *(supply.net for supply in circuit.supplies)}
    for part in circuit.parts:
        if part.kind == "regulator":
            found |= {part.net("out"), part.net("in")}
        if part.kind.endswith("opamp"):
            found |= {part.net("v+"), part.net("v-")}
    for part in circuit.parts:
        small = part.kind == "resistor" and (part.value or 0.0) <= SMALL_OHMS
        if (small or part.kind.endswith("diode")) and len(set(part.nets) & found - {GROUND}) == 1:
            found |= set(part.nets)
    return found
