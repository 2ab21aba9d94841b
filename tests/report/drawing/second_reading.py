"""A drawing read back in another way than the program does: step by step over the grid, like a finger on
paper.

Every wire is cut into steps of one; at each place the finger goes on straight, and turns only where a wire
ends or a dot is. It shares nothing with the program's own proof but the sheet.
"""

from collections.abc import Iterable
from itertools import pairwise

from pedalwright.report.drawing.sheet import Point, Sheet, Wire

Spot = tuple[Point, str]
"""a place, and whether one is there on a level (``-``) or an upright (``|``) wire, or by a pin or flag
(``o``)
"""


def partition(sheet: Sheet) -> set[frozenset[tuple[str, str]]]:
    """The pins of the sheet in groups that are joined."""
    ways: dict[Spot, set[Spot]] = {}

    def join(a: Spot, b: Spot) -> None:
        ways.setdefault(a, set()).add(b)
        ways.setdefault(b, set()).add(a)

    for wire in sheet.wires:
        for a, b in _steps(wire):
            join(a, b)
        for end in (wire.start, wire.end):
            join((end, "o"), (end, _lie(wire)))
    for dot in sheet.dots:
        join((dot.at, "-"), (dot.at, "|"))
        join((dot.at, "o"), (dot.at, "-"))
    for flag in sheet.flags:
        join((flag.at, "o"), ((0, 0), flag.name))
    pins = {(one.part, pin): at for one in sheet.placed for pin, at in one.pins}
    groups: dict[frozenset[Spot], set[tuple[str, str]]] = {}
    for pin, at in pins.items():
        groups.setdefault(_reach((at, "o"), ways), set()).add(pin)
    return {frozenset(group) for group in groups.values()}


def _steps(wire: Wire) -> Iterable[tuple[Spot, Spot]]:
    (x0, y0), (x1, y1) = sorted((wire.start, wire.end))
    places = [(x, y) for x in range(x0, x1 + 1) for y in range(y0, y1 + 1)]
    lie = _lie(wire)
    return [((a, lie), (b, lie)) for a, b in pairwise(places)]


def _lie(wire: Wire) -> str:
    return "-" if wire.start[1] == wire.end[1] else "|"


def _reach(start: Spot, ways: dict[Spot, set[Spot]]) -> frozenset[Spot]:
    seen, pending = {start}, [start]
    while pending:
        for spot in ways.get(pending.pop(), ()):
            if spot not in seen:
                seen.add(spot)
                pending.append(spot)
    return frozenset(seen)
