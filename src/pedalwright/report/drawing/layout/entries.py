"""Lines that come in from the left, under what is already there, and join a node of the line."""

from math import ceil
from typing import TYPE_CHECKING

from pedalwright.report.drawing.layout.pen import Pen

if TYPE_CHECKING:
    from pedalwright.report.drawing.layout.line import LineDrawing

AIR = 0.4


def draw_entries(drawing: "LineDrawing") -> None:
    """Every entry, one under the other."""
    from pedalwright.report.drawing.layout.line import draw_line

    pen = drawing.pen
    for entry in drawing.outline.entries:
        came = draw_line(entry.line, Pen(pen.standing), drawing.style)
        x, y = drawing.joins[entry.node], drawing.at[entry.node][1]
        box = came.pen.box()
        width = came.end[0]
        below = pen.lowest(x - width + box.left - 0.5, x + 0.3)
        level = max(ceil(below + AIR - box.top), y + 3)
        pen.take(came.pen, x - width, level)
        end = (x, level + came.end[1])
        pen.wire(entry.line.nodes[-1].net, end, (x, y))
