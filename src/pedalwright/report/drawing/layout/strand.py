"""Two-ended things, and rows of them with nothing between: the pieces a stage's picture is made of."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from pedalwright.report.drawing.units import TRACK, TWO_PIN, Unit


@dataclass(frozen=True, slots=True)
class Link:
    """A two-ended unit on its way from net `start` to net `end`; `backward` when entered at its far end."""

    unit: Unit
    start: str
    end: str
    backward: bool = False

    def reversed(self) -> "Link":
        """The same unit the other way."""
        return Link(self.unit, self.end, self.start, not self.backward)


@dataclass(frozen=True, slots=True)
class Strand:
    """Links one after another."""

    links: tuple[Link, ...]

    @property
    def start(self) -> str:
        """The net it begins on."""
        return self.links[0].start

    @property
    def end(self) -> str:
        """The net it ends on."""
        return self.links[-1].end

    def reversed(self) -> "Strand":
        """The same strand the other way."""
        return Strand(tuple(link.reversed() for link in reversed(self.links)))

    def beginning(self, net: str) -> "Strand":
        """The strand so turned that it begins on a net."""
        return self if self.start == net else self.reversed()

    def far(self, net: str) -> str:
        """The net at the other end."""
        return self.end if net == self.start else self.start


def ends_of(unit: Unit, alone: Collection[str]) -> tuple[str, str] | None:
    """The two nets of a two-ended unit: a two-pin part, or a knob used as a variable resistor. None
    otherwise.

    `alone` are nets with a single pin on them.
    """
    if unit.form == TWO_PIN:
        first, second = unit.nets
        return first, second
    if unit.form == TRACK:
        return _track_ends(unit, alone)
    return None


def _track_ends(unit: Unit, alone: Collection[str]) -> tuple[str, str] | None:
    first, wiper, last = (unit.net(pin) for pin in "123")
    if wiper in (first, last) and first != last:
        return first, last
    if first == last:
        return None
    if last in alone and first not in alone and wiper not in alone:
        return first, wiper
    if first in alone and last not in alone and wiper not in alone:
        return wiper, last
    if wiper in alone:
        return first, last
    return None


@dataclass(frozen=True)
class Wiring:
    """Which units are on which net, over the whole circuit."""

    units: tuple[Unit, ...]

    @cached_property
    def on(self) -> Mapping[str, tuple[Unit, ...]]:
        """The units on each net, each once."""
        found: dict[str, dict[str, Unit]] = {}
        for unit in self.units:
            for net in unit.nets:
                found.setdefault(net, {})[unit.name] = unit
        return {net: tuple(units.values()) for net, units in found.items()}

    @cached_property
    def pin_count(self) -> Mapping[str, int]:
        """How many pins are on each net."""
        count: dict[str, int] = {}
        for unit in self.units:
            for net in unit.nets:
                count[net] = count.get(net, 0) + 1
        return count

    @cached_property
    def alone(self) -> frozenset[str]:
        """Nets with a single pin on them."""
        return frozenset(net for net, count in self.pin_count.items() if count == 1)


def strands_of(units: Sequence[Unit], wiring: Wiring, keep: Collection[str]) -> tuple[Strand, ...]:
    """Two-ended units joined to rows wherever two meet on a net with nothing else on it; `keep` are nets that
    stay visible as places of their own.
    """
    links = [
        Link(unit, *ends) for unit in units if (ends := ends_of(unit, wiring.alone)) and ends[0] != ends[1]
    ]
    at: dict[str, list[Link]] = {}
    for link in links:
        at.setdefault(link.start, []).append(link)
        at.setdefault(link.end, []).append(link)
    joints = {
        net
        for net, here in at.items()
        if net not in keep and len(here) == 2 and len(wiring.on[net]) == 2 and here[0] is not here[1]
    }
    return tuple(_rows(links, at, joints))


def _rows(links: Sequence[Link], at: Mapping[str, Sequence[Link]], joints: set[str]) -> Iterable[Strand]:
    used: set[str] = set()
    for link in links:
        if link.unit.name in used:
            continue
        row = [link]
        used.add(link.unit.name)
        while (more := _next(row[-1].end, at, joints, used)) is not None:
            row.append(more)
            used.add(more.unit.name)
        while (more := _next(row[0].start, at, joints, used)) is not None:
            row.insert(0, more.reversed())
            used.add(more.unit.name)
        yield Strand(tuple(row))


def _next(net: str, at: Mapping[str, Sequence[Link]], joints: set[str], used: set[str]) -> Link | None:
    if net not in joints:
        return None
    for link in at[net]:
        if link.unit.name not in used:
            return link if link.start == net else link.reversed()
    return None
