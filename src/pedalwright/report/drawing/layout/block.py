"""One stage's picture as a block with a way in at its left edge and a way out at its right."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil, floor

from pedalwright.report.drawing.layout.line import draw_line
from pedalwright.report.drawing.layout.naming import name_nodes, pins_at
from pedalwright.report.drawing.layout.outline import Outline
from pedalwright.report.drawing.layout.pen import Pen
from pedalwright.report.drawing.layout.planner import Planner
from pedalwright.report.drawing.sheet import Box, Point

AIR = 1
LEAST_WIDTH = 24
RIM = 0.3


@dataclass(slots=True, kw_only=True)
class Terminal:
    """Where a neighbour may join: the net, the place, and how many pins the picture joins there."""

    net: str
    at: Point
    pins: int
    inner: Point | None = None
    """where the picture's own line stops; the way from there to `at` is for whoever joins"""
    ended: bool = False
    """True when nothing may join: the line stops at a device, or bears its flag already"""


@dataclass(slots=True, kw_only=True)
class Block:
    """A picture with its terminals; `through` when both are one and the same net."""

    pen: Pen
    box: Box
    left: Terminal
    right: Terminal
    through: bool


def make_block(planner: Planner, start: str, goal: str | None, style: str) -> Block:
    """Plans and draws one stage."""
    planner.plan(start, goal)
    name_nodes(planner, ends_apart=False)
    pen = Pen(planner.standing)
    main = draw_line(planner.lines[0], pen, style)
    draw_further(pen, planner.lines[1:], style)
    return _closed(planner, pen, main.begin, main.end)


def draw_further(pen: Pen, lines: Sequence[Outline], style: str) -> None:
    """Further lines under what is there, short ones side by side."""
    whole = pen.box()
    left, top, low = whole.left, whole.bottom + AIR, whole.bottom
    x = left
    for line in lines:
        more = draw_line(line, Pen(pen.standing), style)
        box = more.pen.box()
        if x > left and x + box.right - box.left > max(whole.right, left + LEAST_WIDTH):
            x, top = left, low + AIR
        pen.take(more.pen, ceil(x - box.left), ceil(top - box.top))
        x += box.right - box.left + 2 * AIR
        low = max(low, ceil(top - box.top) + box.bottom)


def _closed(planner: Planner, pen: Pen, begin: Point, end: Point) -> Block:
    line = planner.lines[0]
    box = pen.box()
    left, right = min(floor(box.left - RIM), 0), max(ceil(box.right + RIM), end[0])
    first, last = line.nodes[0].net, line.nodes[-1].net
    single = len(line.nodes) == 1
    ended = len(line.steps) == len(line.nodes)
    start = Terminal(net=first, at=(left, 0), pins=pins_at(line, 0), inner=begin)
    pins = pins_at(line, len(line.nodes) - 1)
    stop = Terminal(net=last, at=(right, end[1]), pins=pins, inner=end, ended=ended)
    return Block(
        pen=pen,
        box=replace(box, left=left, right=right).around(Box(left, -0.5, right, 0.5)),
        left=start,
        right=stop,
        through=single and not ended,
    )
