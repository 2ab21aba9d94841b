"""Devices the line passes straight through, the third pin below: a regulator, a transistor used as a gate."""

from math import ceil
from typing import TYPE_CHECKING

from pedalwright.report.drawing.layout.outline import Through
from pedalwright.report.drawing.layout.through import above, hang_at, room_at
from pedalwright.report.drawing.symbols._family import shape_named
from pedalwright.report.drawing.symbols.shape import Shape

if TYPE_CHECKING:
    from pedalwright.report.drawing.layout.line import LineDrawing


def draw_regulator(drawing: "LineDrawing", place: int, step: Through) -> None:
    """The box: in at the left, out at the right, ground below."""
    _draw(drawing, place, step, shape_named(step.unit.symbol, drawing.style))


def draw_passing(drawing: "LineDrawing", place: int, step: Through) -> None:
    """A field-effect transistor lying down, its channel on the line, its gate below."""
    shape = shape_named(step.unit.symbol, drawing.style).turned(3)
    if shape.pins[step.enter][0] > shape.pins[step.leave][0]:
        shape = shape.mirrored()
    x, y = shape.pins[step.enter]
    _draw(drawing, place, step, shape.moved(-x, -y))


def _draw(drawing: "LineDrawing", place: int, step: Through, shape: Shape) -> None:
    track, pen = drawing.track, drawing.pen
    third = next(pin for pin, _, _ in step.unit.pins if pin not in (step.enter, step.leave))
    side = drawing.outline.sides[place, third]
    low, length = shape.pins[third], shape.pins[step.leave][0]
    x = max(track.x + 1, ceil(track.floor + room_at(drawing, side, up=False)) - low[0])
    y = track.y
    pen.wire(step.unit.net(step.enter), (track.x, y), (x, y))
    put = shape.moved(x, y)
    pen.put(step.unit, put)
    text_end = above(drawing, (put.body.left, put.body.top - 0.8), step)
    reach = hang_at(drawing, side, put.pins[third], up=False)
    track.floor = max(track.floor, reach, put.body.right)
    track.ceiling = max(track.ceiling, text_end, put.body.right)
    track.x = max(x + length, ceil(text_end))
    pen.wire(step.unit.net(step.leave), (x + length, y), (track.x, y))
