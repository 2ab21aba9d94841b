"""Strands below everything, from the foot of a knob's track to a node of the line."""

from math import ceil
from typing import TYPE_CHECKING

from pedalwright.report.drawing.layout.outline import Under
from pedalwright.report.drawing.layout.pen import Pen
from pedalwright.report.drawing.layout.pieces import draw_level

if TYPE_CHECKING:
    from pedalwright.report.drawing.layout.line import LineDrawing

AIR = 0.4


def draw_unders(drawing: "LineDrawing") -> None:
    """Every such strand, the shortest highest."""
    for under in sorted(drawing.outline.unders, key=lambda item: _span(drawing, item)):
        _draw(drawing, under)


def _span(drawing: "LineDrawing", under: Under) -> int:
    return abs(drawing.feet[under.foot][0] - drawing.joins[under.node])


def _draw(drawing: "LineDrawing", under: Under) -> None:
    pen, foot = drawing.pen, drawing.feet[under.foot]
    join = (drawing.joins[under.node], drawing.at[under.node][1])
    (x0, y0), (x1, y1) = sorted((foot, join))
    strand = under.strand if foot < join else under.strand.reversed()
    way = Pen(pen.standing)
    end = draw_level(way, strand, (0, 0), drawing.style, room=x1 - x0)
    below = pen.lowest(x0 - 0.4, x1 + 0.4)
    y = ceil(below + AIR - way.box().top)
    pen.take(way, x0, y)
    pen.wire(strand.start, (x0, y0), (x0, y))
    pen.wire(strand.end, (x0 + end[0], y), (x1, y), (x1, y1))
