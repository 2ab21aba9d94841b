"""Where dots belong: at places where three wires or more of one net meet."""

from collections import Counter
from collections.abc import Sequence

from pedalwright.report.drawing.sheet import Dot, Flag, Placed, Point, Wire

Way = tuple[int, int]


def dots_of(placed: Sequence[Placed], wires: Sequence[Wire], flags: Sequence[Flag]) -> tuple[Dot, ...]:
    """A dot for every place where wires of one net meet in three directions or more.

    A pin counts as one direction of its own, a flag as one more.
    """
    leads = Counter([at for one in placed for _, at in one.pins] + [flag.at for flag in flags])
    grid = _Grid(wires)
    places = {*leads, *(end for wire in wires for end in (wire.start, wire.end))}
    found = []
    for at in sorted(places):
        for net, ways in grid.ways(at).items():
            if len(ways) + leads[at] > 2:
                found.append(Dot(net, at))
    return tuple(found)


class _Grid:
    """Wires by the row or column they run in."""

    def __init__(self, wires: Sequence[Wire]) -> None:
        self.level: dict[int, list[Wire]] = {}
        self.upright: dict[int, list[Wire]] = {}
        for wire in wires:
            if wire.start[1] == wire.end[1]:
                self.level.setdefault(wire.start[1], []).append(wire)
            else:
                self.upright.setdefault(wire.start[0], []).append(wire)

    def ways(self, at: Point) -> dict[str, set[Way]]:
        """The directions in which wires lead away from a place, by their net."""
        found: dict[str, set[Way]] = {}
        for wire in (*self.level.get(at[1], ()), *self.upright.get(at[0], ())):
            if _covers(wire, at):
                ways = found.setdefault(wire.net, set())
                for x, y in (wire.start, wire.end):
                    if (x, y) != at:
                        ways.add(((x > at[0]) - (x < at[0]), (y > at[1]) - (y < at[1])))
        return found


def _covers(wire: Wire, at: Point) -> bool:
    (x0, y0), (x1, y1) = wire.start, wire.end
    return min(x0, x1) <= at[0] <= max(x0, x1) and min(y0, y1) <= at[1] <= max(y0, y1)
