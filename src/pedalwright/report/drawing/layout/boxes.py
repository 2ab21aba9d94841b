"""Whatever ends a line: a box with its pins at both sides, each with its parts or its flag."""

from collections.abc import Sequence
from math import ceil
from typing import TYPE_CHECKING

from pedalwright.report.drawing.layout.outline import Node, Through
from pedalwright.report.drawing.layout.pen import Pen
from pedalwright.report.drawing.layout.through import above, hang_at, two_lines
from pedalwright.report.drawing.layout.trees import draw_tree, tree_width
from pedalwright.report.drawing.sheet import Point
from pedalwright.report.drawing.symbols._contacts import contacts
from pedalwright.report.drawing.symbols._family import shape_named
from pedalwright.report.drawing.symbols._pin_box import pin_box
from pedalwright.report.drawing.symbols.shape import Shape
from pedalwright.report.drawing.units import PORT, SUPPLY_PINS, SWITCH, Unit

if TYPE_CHECKING:
    from pedalwright.report.drawing.layout.line import LineDrawing

GAP = 0.7


def draw_box(drawing: "LineDrawing", place: int, step: Through) -> None:
    """The box; the line ends at it."""
    track, pen = drawing.track, drawing.pen
    unit = step.unit
    shape = shape_for(unit, step.enter, drawing.style)
    at = shape.pins[step.enter]
    x = max(track.x + 1, ceil(track.floor - shape.body.left), ceil(track.ceiling - shape.body.left))
    shape = shape.moved(x - at[0], track.y - at[1])
    pen.wire(unit.net(step.enter), (track.x, track.y), shape.pins[step.enter])
    pen.put(unit, shape)
    if "up" in shape.faces.values():
        middle = (shape.body.top + shape.body.bottom) / 2
        text_end = shape.body.right + 0.4 + two_lines(drawing, (shape.body.right + 0.4, middle), step)
    else:
        text_end = above(drawing, (shape.body.left, shape.body.top - 0.8), step)
    sides = {pin: node for (step_at, pin), node in drawing.outline.sides.items() if step_at == place}
    fanned = [(shape.pins[pin], node) for pin, node in sides.items() if shape.faces.get(pin) == "right"]
    right = _fan(drawing, fanned, shape)
    for pin, node in sides.items():
        facing = shape.faces.get(pin)
        if facing in ("up", "down"):
            right = max(right, hang_at(drawing, node, shape.pins[pin], up=facing == "up"))
        elif facing == "left" and needs_end(pen, node):
            pen.flag(node.net, shape.pins[pin], "left")
    track.floor = track.ceiling = max(right, text_end, shape.body.right)
    track.x = ceil(max(shape.body.right, x))


def needs_end(pen: Pen, node: Node) -> bool:
    """True when a pin with nothing drawn at it must carry its net's symbol."""
    return node.named or pen.standing.is_still(node.net)


def _fan(drawing: "LineDrawing", pins: Sequence[tuple[Point, Node]], shape: Shape) -> float:
    """The pins at the right, lowest first: what hangs from a higher one goes further out."""
    pen = drawing.pen
    reach = shape.body.right + 1.0
    foot = max((y for (_, y), _ in pins), default=0) + 2
    for (x, y), node in sorted(pins, key=lambda item: -item[0][1]):
        trees = [*node.downs, *node.ups]
        column = x
        for tree in trees:
            left, right = tree_width(pen, tree, up=False)
            column = max(x, ceil(reach + left + GAP))
            pen.wire(node.net, (x, y), (column, y), (column, foot))
            draw_tree(pen, tree, (column, foot), drawing.style, up=False)
            reach = column + right
        if node.named or (not trees and pen.standing.is_still(node.net)):
            if trees:
                pen.wire(node.net, (x, y), (column + 1, y))
                column += 1
            reach = max(reach, pen.flag(node.net, (column, y), "right").right)
    return reach


def shape_for(unit: Unit, enter: str, style: str) -> Shape:
    """The symbol of a unit that ends a line: the pin the line comes by first at the left."""
    if unit.form in (PORT, SUPPLY_PINS):
        return shape_named(unit.symbol, style)
    others = [pin for pin, _, _ in unit.pins if pin != enter]
    if unit.form == SWITCH:
        return contacts(enter, [(pin, pin) for pin in others], unit.stands)
    if unit.symbol:
        return shape_named(unit.symbol, style)
    return pin_box("box", [(enter, enter)], [(pin, pin) for pin in others])
