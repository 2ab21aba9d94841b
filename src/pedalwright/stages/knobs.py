"""How a knob is wired as a divider: which end stands still, where the signal comes in and where it leaves."""

from collections.abc import Iterable
from dataclasses import dataclass

from pedalwright.circuit.part import Part
from pedalwright.stages.branch import Leaf
from pedalwright.stages.interstage import Interstage


@dataclass(frozen=True, slots=True, kw_only=True)
class Divider:
    """A knob with a bottom at a steady net (straight or through `foot` resistors), a top and a wiper.

    `head` are resistors and capacitors that lead to the top and to nothing else; `start` is where they begin;
    `beside` are those from the top to the wiper past the knob.
    """

    part: Part
    top: str
    wiper: str
    bottom: str
    halves: tuple[Leaf, ...]
    head: tuple[Leaf, ...]
    foot: tuple[Leaf, ...]
    beside: tuple[Leaf, ...]
    start: str

    @property
    def upper(self) -> Leaf:
        """The half between top and wiper."""
        return next(leaf for leaf in self.halves if {leaf.a, leaf.b} == {self.top, self.wiper})


def dividers(inter: Interstage) -> Iterable[Divider]:
    """Every free knob with three different nets of which just one end is steady."""
    view = inter.claimed.view
    for part in view.parts_of("knob"):
        ends = view.knob_nets(part)
        halves = tuple(leaf for leaf in inter.leaves if leaf.ref == part.ref)
        if len(set(ends)) < 3 or len(halves) != 2 or inter.still(ends[1]):
            continue
        found = _divider(inter, part, ends, halves)
        if found is not None:
            yield found


def _divider(
    inter: Interstage, part: Part, ends: tuple[str, str, str], halves: tuple[Leaf, ...]
) -> Divider | None:
    feet = {end: _foot(inter, end, part) for end in (ends[0], ends[2])}
    low = [end for end, foot in feet.items() if inter.still(end) or foot]
    if len(low) != 1:
        return None
    bottom, top = low[0], ends[2] if low[0] == ends[0] else ends[0]
    beside = bridging(inter, part, top=top, wiper=ends[1])
    head, start = _head(inter, top, frozenset({part.ref, *(leaf.ref for leaf in beside)}))
    return Divider(
        part=part,
        top=top,
        wiper=ends[1],
        bottom=bottom,
        halves=halves,
        head=head,
        foot=() if inter.still(bottom) else feet[bottom],
        beside=beside,
        start=start,
    )


def _foot(inter: Interstage, end: str, part: Part) -> tuple[Leaf, ...]:
    """Resistors from an end to steady nets, when nothing else is on that end."""
    if inter.still(end) or not inter.is_plain(end):
        return ()
    others = [leaf for leaf in inter.on(end) if leaf.ref != part.ref]
    resistive = all(leaf.sort == "R" and inter.still(leaf.other(end)) for leaf in others)
    return tuple(others) if others and resistive else ()


def _head(inter: Interstage, top: str, own: frozenset[str]) -> tuple[tuple[Leaf, ...], str]:
    """Parts in a row that lead to the top alone, and the net they begin on."""
    row: list[Leaf] = []
    here = top
    while inter.is_plain(here):
        others = [leaf for leaf in inter.on(here) if leaf.ref not in own and leaf not in row]
        others = [leaf for leaf in others if not inter.is_loose(leaf.other(here))]
        if len(others) != 1 or others[0].sort not in "RC" or others[0].variable:
            break
        if not inter.flow.brings_to(others[0], here):
            break
        row.append(others[0])
        here = others[0].other(here)
    return tuple(row), here


def bridging(inter: Interstage, part: Part, *, top: str, wiper: str) -> tuple[Leaf, ...]:
    """Capacitors (with resistors in a row) from the top to the wiper: treble passes the knob there."""
    found: list[Leaf] = []
    for first in inter.on(wiper):
        if first.ref == part.ref or first.sort not in "RC":
            continue
        row, here = [first], first.other(wiper)
        while here not in (top, wiper) and inter.is_plain(here) and len(inter.on(here)) == 2:
            onward = next((leaf for leaf in inter.on(here) if leaf not in row), None)
            if onward is None or onward.sort not in "RC":
                break
            row.append(onward)
            here = onward.other(here)
        if here == top and any(leaf.sort == "C" for leaf in row):
            found.extend(row)
    return tuple(dict.fromkeys(found))
