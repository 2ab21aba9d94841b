"""The proof of a drawing: the nets are read back from its lines alone, and must be those of the circuit.

Rules of reading: wires are joined where ends meet, and where an end or a dot lies on a wire; a crossing
without a dot joins nothing; a pin is joined to what ends at it; everything under flags of one name is one
net. A wire's end on the middle of another without a dot, or three ways that meet without one, are faults of
their own: nobody can tell what they mean. The nets written on wires are never looked at.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from pedalwright.circuit.circuit import Circuit
from pedalwright.report.drawing.sheet import Dot, Flag, Placed, Point, Wire

Pin = tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawingProof:
    """What reading the drawing back gave. `faults` are sentences; none means that the drawing is the
    circuit.
    """

    pins: int
    nets: int
    faults: tuple[str, ...]

    @property
    def holds(self) -> bool:
        """True when the drawing shows exactly the circuit."""
        return not self.faults


def circuit_pins(circuit: Circuit) -> dict[Pin, str]:
    """Every pin of the circuit with its net; ports count as parts with one pin."""
    found = {(part.ref, pin): net for part in circuit.parts for pin, net in part.pins}
    ports = [(f"port/supply-{place}", one.net) for place, one in enumerate(circuit.supplies, start=1)]
    if circuit.input is not None:
        ports.append(("port/input", circuit.input.net))
    if circuit.output is not None:
        ports.append(("port/output", circuit.output.net))
    return found | {(name, "net"): net for name, net in ports}


def prove_drawing(
    placed: Iterable[Placed],
    wires: Iterable[Wire],
    dots: Iterable[Dot],
    flags: Iterable[Flag],
    wanted: Mapping[Pin, str],
) -> DrawingProof:
    """The drawing read back and compared: the same pins, each once, and the same partition of them into
    nets.
    """
    reading = _Reading(tuple(wires), frozenset(dot.at for dot in dots))
    pins: dict[Pin, Point] = {}
    faults = list(reading.faults)
    for one in placed:
        for pin, at in one.pins:
            if (one.part, pin) in pins:
                faults.append(f"{one.part}.{pin} is drawn twice.")
            pins[one.part, pin] = at
            faults.extend(reading.meet(at))
    ends: list[Point] = []
    for flag in flags:
        ends.append(flag.at)
        faults.extend(reading.meet(flag.at))
        reading.join(flag.at, flag.name)
    faults += reading.undotted(Counter([*pins.values(), *ends]))
    faults += [f"{ref}.{pin} is not drawn." for ref, pin in sorted(wanted.keys() - pins.keys())]
    faults += [f"{ref}.{pin} is no pin of the circuit." for ref, pin in sorted(pins.keys() - wanted.keys())]
    found = {pin: reading.root(at) for pin, at in pins.items() if pin in wanted}
    faults += _differences(found, wanted)
    return DrawingProof(pins=len(pins), nets=len(set(wanted.values())), faults=tuple(faults))


def _differences(found: Mapping[Pin, object], wanted: Mapping[Pin, str]) -> Iterable[str]:
    """Nets of the circuit that the drawing tears apart, and pins of two nets that it joins."""
    first_of_net: dict[str, Pin] = {}
    first_of_group: dict[object, Pin] = {}
    for pin, group in found.items():
        net = wanted[pin]
        mate = first_of_net.setdefault(net, pin)
        if found[mate] != group:
            yield f"{_said(mate)} and {_said(pin)} are one net in the circuit and two in the drawing."
        mate = first_of_group.setdefault(group, pin)
        if wanted[mate] != net:
            yield f"{_said(mate)} and {_said(pin)} are two nets in the circuit and one in the drawing."


def _said(pin: Pin) -> str:
    return f"{pin[0]}.{pin[1]}"


class _Reading:
    """Union-find over places, with every wire under the rows and columns it covers."""

    def __init__(self, wires: tuple[Wire, ...], dots: frozenset[Point]) -> None:
        self.parent: dict[object, object] = {}
        self.dots = dots
        self.faults: list[str] = []
        self.ways: dict[Point, set[tuple[int, int]]] = {}
        self.level: dict[int, list[tuple[int, int, Point]]] = {}
        self.upright: dict[int, list[tuple[int, int, Point]]] = {}
        for wire in wires:
            self._lay(wire)
        for wire in wires:
            lies_level = wire.start[1] == wire.end[1]
            for end in (wire.start, wire.end):
                self.faults.extend(self.meet(end, level=lies_level, upright=not lies_level))
        for dot in sorted(dots):
            for _, _, owner in self._over(dot):
                self.join(dot, owner)

    def _lay(self, wire: Wire) -> None:
        (x0, y0), (x1, y1) = wire.start, wire.end
        self.join(wire.start, wire.end)
        way = ((x1 > x0) - (x1 < x0), (y1 > y0) - (y1 < y0))
        self.ways.setdefault(wire.start, set()).add(way)
        self.ways.setdefault(wire.end, set()).add((-way[0], -way[1]))
        if y0 == y1:
            self.level.setdefault(y0, []).append((min(x0, x1), max(x0, x1), wire.start))
        elif x0 == x1:
            self.upright.setdefault(x0, []).append((min(y0, y1), max(y0, y1), wire.start))
        else:
            self.faults.append(f"A wire from {wire.start} to {wire.end} runs askew.")

    def meet(self, at: Point, *, level: bool = False, upright: bool = False) -> list[str]:
        """An end at a place is joined to every wire it lies on. On the middle of one it needs a dot, unless
        the end is that of a wire that runs along it (`level`, `upright`).
        """
        faults: list[str] = []
        x, y = at
        for pieces, here, along in ((self.level.get(y, ()), x, level), (self.upright.get(x, ()), y, upright)):
            for low, high, owner in pieces:
                if not low <= here <= high:
                    continue
                self.join(at, owner)
                if low < here < high and not along and at not in self.dots:
                    faults.append(f"An end at {at} lies on a wire without a dot.")
        return faults

    def _over(self, at: Point) -> list[tuple[int, int, Point]]:
        x, y = at
        level = [piece for piece in self.level.get(y, ()) if piece[0] <= x <= piece[1]]
        return level + [piece for piece in self.upright.get(x, ()) if piece[0] <= y <= piece[1]]

    def undotted(self, leads: Mapping[Point, int]) -> list[str]:
        """Faults of places where three ways or more meet without a dot; `leads` are the pins and flags
        there.
        """
        return [
            f"Three ways or more meet at {at} without a dot."
            for at, ways in self.ways.items()
            if len(ways) + leads.get(at, 0) > 2 and at not in self.dots
        ]

    def root(self, item: object) -> object:
        """What stands for everything joined to an item."""
        while (above := self.parent.setdefault(item, item)) != item:
            self.parent[item] = self.parent[above]
            item = above
        return item

    def join(self, first: object, second: object) -> None:
        """Makes two items one."""
        self.parent[self.root(first)] = self.root(second)
