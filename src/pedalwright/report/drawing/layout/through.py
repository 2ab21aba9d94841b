"""Devices on the line: an amplifier with its other input, a transistor, a knob that divides, a box with
pins.
"""

from math import ceil
from typing import TYPE_CHECKING

from pedalwright.report.drawing.layout.outline import Node, Through
from pedalwright.report.drawing.layout.pen import SIZE, Pen, width_of
from pedalwright.report.drawing.layout.trees import draw_tree, tree_width
from pedalwright.report.drawing.sheet import Place, Point
from pedalwright.report.drawing.units import AMPLIFIER, REGULATOR, TRACK, TRANSISTOR

if TYPE_CHECKING:
    from pedalwright.report.drawing.layout.line import LineDrawing

GAP = 0.7


def draw_through(drawing: "LineDrawing", place: int, step: Through) -> None:
    """The device, what hangs at its other pins, and the way on from the pin it is left by."""
    from pedalwright.report.drawing.layout.amplifying import draw_amplifier
    from pedalwright.report.drawing.layout.boxes import draw_box
    from pedalwright.report.drawing.layout.knobs import draw_divider
    from pedalwright.report.drawing.layout.passing import draw_passing, draw_regulator
    from pedalwright.report.drawing.layout.transistors import draw_transistor

    if step.unit.form == AMPLIFIER and step.leave:
        draw_amplifier(drawing, place, step)
    elif step.unit.form == TRANSISTOR and step.enter in ("d", "s") and step.leave:
        draw_passing(drawing, place, step)
    elif step.unit.form == TRANSISTOR and step.leave:
        draw_transistor(drawing, place, step)
    elif step.unit.form == TRACK and step.leave:
        draw_divider(drawing, place, step)
    elif step.unit.form == REGULATOR and step.leave:
        draw_regulator(drawing, place, step)
    else:
        draw_box(drawing, place, step)


def hang_at(drawing: "LineDrawing", node: Node, at: Point, *, up: bool) -> float:
    """Everything at a device's pin that points down (or up): its trees side by side, and its flag when it
    needs one. Gives how far to the right it reaches.
    """
    pen, (x, y) = drawing.pen, at
    sign = -1 if up else 1
    reach, column = float(x), x
    still = not (node.downs or node.ups) and pen.standing.is_still(node.net)
    if still:
        return x + _flag(pen, node.net, at, up=up)
    for place, tree in enumerate([*node.downs, *node.ups]):
        left, right = tree_width(pen, tree, up=up)
        column = x if place == 0 else int(reach + left + GAP) + 1
        pen.wire(node.net, at, (column, y), (column, y + sign))
        draw_tree(pen, tree, (column, y + sign), drawing.style, up=up)
        reach = column + right
    if node.named:
        room = pen.flag_room(node.net, "up" if up else "down")
        bare = not (node.downs or node.ups)
        column = x if bare else int(reach - room.left + GAP) + 1
        pen.wire(node.net, at, (column, y))
        reach = column + _flag(pen, node.net, (column, y), up=up)
    return reach


def room_at(drawing: "LineDrawing", node: Node, *, up: bool) -> float:
    """How far to the left of the pin all that reaches."""
    pen = drawing.pen
    trees = [*node.downs, *node.ups]
    if trees:
        return tree_width(pen, trees[0], up=up)[0]
    if node.named or pen.standing.is_still(node.net):
        return -pen.flag_room(node.net, "up" if up else "down").left
    return 0.5


def _flag(pen: Pen, net: str, at: Point, *, up: bool) -> float:
    x, y = at
    sign = -1 if up else 1
    pen.wire(net, at, (x, y + sign))
    return pen.flag(net, (x, y + sign), "up" if up else "down").right - x


def two_lines(drawing: "LineDrawing", place: Place, step: Through, anchor: str = "start") -> float:
    """Designator and value, one under the other around a place; gives how wide they are."""
    x, y = place
    unit, pen = step.unit, drawing.pen
    lines = [text for text in (unit.part, unit.value) if text]
    top = y - SIZE * 0.6 * (len(lines) - 1)
    for number, text in enumerate(lines):
        kind = "name" if number == 0 else "value"
        pen.write(text, x, top + number * SIZE * 1.2, anchor, kind, unit.name)
    return max((width_of(text, "name") for text in lines), default=0.0)


def above(drawing: "LineDrawing", place: Place, step: Through) -> float:
    """Designator and value side by side on one line; gives where the text ends."""
    x, y = place
    unit, pen = step.unit, drawing.pen
    first = pen.write(unit.shown, x, y, "start", "name", unit.name)
    if not unit.value:
        return first.box.right
    return pen.write(unit.value, first.box.right + 0.5, y, "start", "value", unit.name).box.right


def column_for(x: float) -> int:
    """The first whole column at or to the right of a place."""
    return ceil(x)
