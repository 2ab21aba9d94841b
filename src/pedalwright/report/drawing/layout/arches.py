"""Lines over a line, from one of its nodes to another: feedback, and whatever bridges a step."""

from math import floor
from typing import TYPE_CHECKING

from pedalwright.report.drawing.layout.outline import Arch
from pedalwright.report.drawing.layout.pen import Pen

if TYPE_CHECKING:
    from pedalwright.report.drawing.layout.line import LineDrawing

AIR = 0.25


def room_needed(drawing: "LineDrawing", place: int) -> int:
    """The least column of a node, so that the arches that end on it have their room."""
    least = 0
    for arch in drawing.outline.arches:
        if arch.last == place:
            least = max(least, drawing.at[arch.first][0] + _width(drawing, arch) + 1)
    return least


def draw_arches(drawing: "LineDrawing") -> None:
    """Every arch above what it spans, the shortest lowest."""
    spans = sorted(drawing.outline.arches, key=lambda arch: _span(drawing, arch))
    for arch in spans:
        _draw(drawing, arch)


def _span(drawing: "LineDrawing", arch: Arch) -> tuple[int, int]:
    return drawing.at[arch.last][0] - drawing.at[arch.first][0], len(arch.line.steps)


def _width(drawing: "LineDrawing", arch: Arch) -> int:
    return _drawn(drawing, arch).end[0]


def _drawn(drawing: "LineDrawing", arch: Arch) -> "LineDrawing":
    from pedalwright.report.drawing.layout.line import draw_line

    return draw_line(arch.line, Pen(drawing.pen.standing), drawing.style)


def _draw(drawing: "LineDrawing", arch: Arch) -> None:
    pen = drawing.pen
    (x0, y0), (x1, y1) = drawing.at[arch.first], drawing.at[arch.last]
    over = _drawn(drawing, arch)
    depth = over.pen.box().bottom
    top = min(pen.highest(x0 + 0.1, x1 - 0.1), y0, y1)
    y = floor(min(top - AIR - depth, y0 - 2, y1 - 2))
    lead = _lead(drawing, arch, over, x0, x1)
    pen.take(over.pen, x0 + lead, y)
    pen.wire(arch.line.nodes[0].net, (x0, y0), (x0, y), (x0 + lead, y))
    pen.wire(
        arch.line.nodes[-1].net, (x0 + lead + over.end[0], y + over.end[1]), (x1, y + over.end[1]), (x1, y1)
    )


def _lead(drawing: "LineDrawing", arch: Arch, over: "LineDrawing", x0: int, x1: int) -> int:
    """How far from its first node the arch's parts begin: the middle, or as near to it as leaves the
    columns free where other arches rise.
    """
    columns = {
        drawing.at[place][0]
        for other in drawing.outline.arches
        for place in (other.first, other.last)
        if x0 < drawing.at[place][0] < x1
    }
    spare = x1 - x0 - over.end[0]
    solid = [*(one.body for one in over.pen.placed), *(item.box for item in over.pen.labels)]
    solid += [flag.box for flag in over.pen.flags]

    def is_free(lead: int) -> bool:
        return not any(box.left + x0 + lead < x < box.right + x0 + lead for x in columns for box in solid)

    leads = sorted(range(max(spare, 0) + 1), key=lambda lead: (abs(lead - spare // 2), lead))
    return next((lead for lead in leads if is_free(lead)), max(spare // 2, 0))
