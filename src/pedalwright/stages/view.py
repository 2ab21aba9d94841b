"""The circuit as a recogniser sees it: ideal two-terminal parts, amplifiers, transistors, and nets joined by
closed contacts.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from pedalwright.circuit.circuit import GROUND, Circuit
from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Short
from pedalwright.devices.catalogue import amplifiers, device, expand_circuit
from pedalwright.devices.device import AmplifierUnit
from pedalwright.devices.kinds.switch import COMMON, contacts
from pedalwright.stages.branch import Leaf
from pedalwright.stages.rows import rows_of

SORT_OF_FAMILY = {"resistor": "R", "capacitor": "C", "inductor": "L", "diode": "D", "led": "D", "zener": "D"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Amplifier:
    """One amplifier section with its nets after closed contacts are joined."""

    ref: str
    part: Part
    non: str
    inv: str
    out: str
    role: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Transistor:
    """A bipolar (`control` is the base) or field-effect transistor (`control` is the gate).

    `top` is the collector or drain, `bottom` the emitter or source.
    """

    ref: str
    part: Part
    family: str
    polarity: int
    control: str
    top: str
    bottom: str


@dataclass(frozen=True)
class View:
    """A circuit ready for questions; everything is computed once and nothing depends on names or on order."""

    circuit: Circuit

    @cached_property
    def joined(self) -> Mapping[str, str]:
        """Every net under the net that stands for it once closed contacts are joined."""
        parent = {net: net for net in self.circuit.nets}

        def root(net: str) -> str:
            while parent.setdefault(net, net) != net:
                net = parent[net]
            return net

        order = {net: place for place, net in enumerate(self.circuit.nets)}
        for primitive in expand_circuit(self.circuit):
            if isinstance(primitive, Short):
                a, b = sorted((root(primitive.a), root(primitive.b)), key=lambda net: order.get(net, 10**9))
                parent[b] = a
        return {net: root(net) for net in parent}

    def net(self, part: Part, pin: str) -> str:
        """The joined net on a part's pin."""
        return self.joined[part.net(pin)]

    @cached_property
    def family(self) -> Mapping[str, str]:
        """The device family of every part."""
        return {part.ref: device(part.kind).family for part in self.circuit.parts}

    def parts_of(self, *families: str) -> tuple[Part, ...]:
        """The parts of some families, in the order of the text."""
        return tuple(part for part in self.circuit.parts if self.family[part.ref] in families)

    @cached_property
    def leaves(self) -> tuple[Leaf, ...]:
        """Every two-terminal thing whose ends are on different nets; hanging halves of a track are left out.

        Resistors in a row with nothing between them are one leaf, under the first one's name (see `rows`).
        """
        return tuple(self._rows.values()) + tuple(
            leaf for leaf in self._single if leaf.ref not in self._in_row
        )

    @cached_property
    def rows(self) -> Mapping[str, tuple[str, ...]]:
        """Resistors in a row: the designator that stands for the row in `leaves`, and all of the row in
        order.
        """
        return {names[0]: names for names in self._rows}

    @cached_property
    def _in_row(self) -> frozenset[str]:
        return frozenset(name for names in self._rows for name in names)

    @cached_property
    def _rows(self) -> Mapping[tuple[str, ...], Leaf]:
        return rows_of(self._single, self._row_joints)

    @cached_property
    def _row_joints(self) -> frozenset[str]:
        """Nets with the ends of two resistors on them and nothing else."""
        return frozenset(
            net
            for net, pins in self._pins_joined.items()
            if len(pins) == 2
            and net not in self.ports
            and len({pin.part.ref for pin in pins}) == 2
            and all(self.family[pin.part.ref] == "resistor" for pin in pins)
        )

    @cached_property
    def _single(self) -> tuple[Leaf, ...]:
        found = [leaf for part in self.circuit.parts for leaf in self._leaves_of(part)]
        return tuple(leaf for leaf in found if leaf.a != leaf.b)

    def _leaves_of(self, part: Part) -> Iterable[Leaf]:
        sort = SORT_OF_FAMILY.get(self.family[part.ref])
        if sort is not None:
            a, b = (self.joined[net] for net in part.nets[:2])
            yield Leaf(ref=part.ref, name=part.ref, sort=sort, a=a, b=b, value=part.value or 0.0)
        elif self.family[part.ref] in ("knob", "optocoupler", "echo-chip"):
            for primitive in device(part.kind).expand(part):
                if type(primitive).__name__ != "Resistance" or not self._is_track(part, primitive.name):
                    continue
                a, b = self.joined[primitive.a], self.joined[primitive.b]  # type: ignore[attr-defined]
                if self._hangs(part, a, b):
                    continue
                yield Leaf(
                    ref=part.ref,
                    name=primitive.name,
                    sort="R",
                    a=a,
                    b=b,
                    value=primitive.ohms,  # type: ignore[attr-defined]
                    variable=self.family[part.ref] != "echo-chip",
                )

    def _hangs(self, part: Part, a: str, b: str) -> bool:
        """One end leads nowhere: a lug of its own, or an unused wiper whose far lug is unused as well."""
        lone = {net for net in (a, b) if self.alone(net) == part.ref}
        if not lone or self.family[part.ref] != "knob":
            return bool(lone)
        first, wiper, last = self.knob_nets(part)
        far = last if first in (a, b) else first
        return lone != {wiper} or self.alone(far) == part.ref

    def _is_track(self, part: Part, name: str) -> bool:
        """Halves of a knob's track, an optocoupler's cell, and of the echo chip the two integrator
        resistors.
        """
        if self.family[part.ref] == "echo-chip":
            return "integrator" in name
        return name == part.ref or name.startswith(f"{part.ref}.")

    def alone(self, net: str) -> str:
        """The designator of the one part on a net, or an empty string when there are more or the net is a
        port.
        """
        if net in self.ports:
            return ""
        refs = {pin.part.ref for other, pins in self._pins_joined.items() if other == net for pin in pins}
        return next(iter(refs)) if len(refs) == 1 and len(self._pins_joined[net]) == 1 else ""

    @cached_property
    def _pins_joined(self) -> Mapping[str, tuple]:  # type: ignore[type-arg]
        found: dict[str, list] = {}  # type: ignore[type-arg]
        for net, pins in self.circuit.pins_on.items():
            found.setdefault(self.joined[net], []).extend(pins)
        return {net: tuple(pins) for net, pins in found.items()}

    def pins(self, net: str) -> tuple:  # type: ignore[type-arg]
        """Every pin on a joined net (`PinOf` records)."""
        return self._pins_joined.get(net, ())

    @cached_property
    def ports(self) -> frozenset[str]:
        """Nets with a supply, the input or the output on them, and ground."""
        ports = (*self.circuit.supplies, self.circuit.input, self.circuit.output)
        found = {GROUND} | {self.joined[port.net] for port in ports if port is not None}
        return frozenset(found) | self.entries | self.exits

    @cached_property
    def entries(self) -> frozenset[str]:
        """Nets that a switch can put the input jack on: the signal enters there in one of its positions."""
        return self._switched_to(self.circuit.input.net) if self.circuit.input else frozenset()

    @cached_property
    def exits(self) -> frozenset[str]:
        """Nets that a switch can put the output jack on."""
        return self._switched_to(self.circuit.output.net) if self.circuit.output else frozenset()

    def _switched_to(self, net: str) -> frozenset[str]:
        found: set[str] = set()
        for part in self.parts_of("switch"):
            for pole, names in contacts(part):
                ends = [part.net(pole + COMMON)]
                if ends == [net]:
                    found |= {self.joined[part.net(pole + name)] for name in names}
        return frozenset(found)

    @cached_property
    def input_net(self) -> str:
        """The joined net of the input jack, or an empty string."""
        return self.joined[self.circuit.input.net] if self.circuit.input else ""

    @cached_property
    def output_net(self) -> str:
        """The joined net of the output jack, or an empty string."""
        return self.joined[self.circuit.output.net] if self.circuit.output else ""

    @cached_property
    def amplifiers(self) -> tuple[Amplifier, ...]:
        """Every amplifier section, those of the echo chip included."""
        return tuple(self._joined_amplifier(unit) for unit in amplifiers(self.circuit))

    def _joined_amplifier(self, unit: AmplifierUnit) -> Amplifier:
        non, inv, out = (
            self.joined.get(net, net) for net in (unit.non_inverting, unit.inverting, unit.output)
        )
        return Amplifier(ref=unit.ref, part=unit.part, non=non, inv=inv, out=out, role=unit.role)

    @cached_property
    def transistors(self) -> tuple[Transistor, ...]:
        """Every bipolar and field-effect transistor."""
        found = []
        for part in self.parts_of("bipolar", "fet"):
            bipolar = self.family[part.ref] == "bipolar"
            control, top, bottom = ("b", "c", "e") if bipolar else ("g", "d", "s")
            found.append(
                Transistor(
                    ref=part.ref,
                    part=part,
                    family=self.family[part.ref],
                    polarity=-1 if part.kind.startswith("p") else 1,
                    control=self.net(part, control),
                    top=self.net(part, top),
                    bottom=self.net(part, bottom),
                )
            )
        return tuple(found)

    @cached_property
    def at(self) -> Mapping[str, tuple[Leaf, ...]]:
        """The two-terminal things on each net."""
        found: dict[str, list[Leaf]] = {}
        for leaf in self.leaves:
            found.setdefault(leaf.a, []).append(leaf)
            found.setdefault(leaf.b, []).append(leaf)
        return {net: tuple(leaves) for net, leaves in found.items()}

    def on(self, net: str) -> tuple[Leaf, ...]:
        """The two-terminal things on one net (empty when there are none)."""
        return self.at.get(net, ())

    @cached_property
    def active_pins(self) -> Mapping[str, tuple[tuple[str, str], ...]]:
        """For every net the (designator, pin) of chips, transistors and amplifiers on it, supply pins
        included.
        """
        found: dict[str, list[tuple[str, str]]] = {}
        passive = {"R", "C", "L", "D"}
        for net, pins in self._pins_joined.items():
            for pin in pins:
                family = self.family[pin.part.ref]
                if SORT_OF_FAMILY.get(family) in passive or family in ("knob", "switch", "jack"):
                    continue
                found.setdefault(net, []).append((pin.part.ref, pin.pin))
        return {net: tuple(pins) for net, pins in found.items()}

    def knob_nets(self, part: Part) -> tuple[str, str, str]:
        """Joined nets of a knob's counter-clockwise end, wiper and clockwise end."""
        return (self.net(part, "1"), self.net(part, "2"), self.net(part, "3"))
