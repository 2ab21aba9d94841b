"""A transistor on the line: in at the base or gate, on from the upper or the lower pin, the third with its
parts.
"""

from math import ceil
from typing import TYPE_CHECKING

from pedalwright.report.drawing.layout.outline import Through
from pedalwright.report.drawing.layout.through import hang_at, room_at, two_lines
from pedalwright.report.drawing.symbols._family import shape_named

if TYPE_CHECKING:
    from pedalwright.report.drawing.layout.line import LineDrawing


def draw_transistor(drawing: "LineDrawing", place: int, step: Through) -> None:
    """The symbol; the line goes on from the pin it leaves by, two steps higher or lower."""
    track, pen = drawing.track, drawing.pen
    shape = shape_named(step.unit.symbol, drawing.style)
    third = next(pin for pin, _, _ in step.unit.pins if pin not in (step.enter, step.leave))
    up = shape.pins[third][1] < 0
    side = drawing.outline.sides[place, third]
    edge = track.ceiling if up else track.floor
    x = max(track.x + 1, ceil(edge + room_at(drawing, side, up=up) + 0.5) - 3)
    y = track.y
    pen.wire(step.unit.net(step.enter), (track.x, y), (x, y))
    pen.put(step.unit, shape.moved(x, y))
    text_end = x + 4.1 + two_lines(drawing, (x + 4, y), step)
    (lx, ly), (sx, sy) = shape.pins[step.leave], shape.pins[third]
    leave, other = (x + lx, y + ly), (x + sx, y + sy)
    reach = x + 2.0
    if side.net == step.unit.net(step.enter):
        turn = other[1] + (-1 if up else 1)
        pen.wire(side.net, other, (other[0], turn), (track.x, turn), (track.x, y))
    else:
        reach = hang_at(drawing, side, other, up=up)
    over, under = (text_end, x + 2.0) if up else (x + 2.0, text_end)
    track.ceiling = max(track.ceiling, over, reach if up else 0)
    track.floor = max(track.floor, under, reach if not up else 0)
    track.x, track.y = leave
    drawing.clear = ceil(text_end)
