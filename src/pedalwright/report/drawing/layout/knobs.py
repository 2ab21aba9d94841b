"""A knob that divides: its track hangs from the line, the line goes on from the wiper."""

from math import ceil
from typing import TYPE_CHECKING

from pedalwright.report.drawing.layout.outline import Through
from pedalwright.report.drawing.layout.pen import width_of
from pedalwright.report.drawing.layout.pieces import level_length
from pedalwright.report.drawing.layout.through import hang_at, room_at, two_lines
from pedalwright.report.drawing.symbols._family import shape_named

if TYPE_CHECKING:
    from pedalwright.report.drawing.layout.line import LineDrawing


def draw_divider(drawing: "LineDrawing", place: int, step: Through) -> None:
    """The track upright, the end the line comes from on top; the line goes on three steps lower."""
    track, pen = drawing.track, drawing.pen
    foot_pin = "1" if step.enter == "3" else "3"
    side = drawing.outline.sides[place, foot_pin]
    texts = max(width_of(step.unit.part, "name"), width_of(step.unit.value, "value"))
    left = max(texts + 1.2, room_at(drawing, side, up=False))
    if side.named:
        left = max(left, -pen.flag_room(side.net, "left").left)
    x, y = max(track.x, ceil(track.floor + left + 0.4)), track.y
    for under in drawing.outline.unders:
        if under.foot == (place, foot_pin) and under.node in drawing.joins:
            x = max(x, drawing.joins[under.node] + level_length(under.strand))
    shape = shape_named(step.unit.symbol, drawing.style)
    if step.enter == "3":
        shape = shape.mirrored().moved(4, 0)
    pen.wire(step.unit.net(step.enter), (track.x, y), (x, y), (x, y + 2))
    pen.put(step.unit, shape.turned(1).moved(x, y + 2))
    two_lines(drawing, (x - 0.9, y + 4), step, "end")
    foot = (x, y + 6)
    reach = float(x)
    if any(under.foot == (place, foot_pin) for under in drawing.outline.unders):
        if side.named:
            foot = (x, y + 7)
            pen.wire(side.net, (x, y + 6), foot)
            pen.flag(side.net, foot, "left")
        drawing.feet[place, foot_pin] = foot
    else:
        reach = hang_at(drawing, side, foot, up=False)
    track.floor = max(track.floor, reach, x + 0.5)
    track.ceiling = max(track.ceiling, x + 1.5)
    track.x, track.y = x + 2, y + 4
