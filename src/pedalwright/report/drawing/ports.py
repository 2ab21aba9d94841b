"""Where the circuit meets the world: the input, the output and the supplies as blocks of a row."""

from math import ceil, floor

from pedalwright.report.drawing.layout.block import Block, Terminal
from pedalwright.report.drawing.layout.pen import SIZE, Pen, union
from pedalwright.report.drawing.sheet import Box
from pedalwright.report.drawing.standing import Standing
from pedalwright.report.drawing.symbols._family import shape_named
from pedalwright.report.drawing.units import Unit


def port_block(unit: Unit, standing: Standing, style: str, *, facing_left: bool) -> Block:
    """The ring with its words; a neighbour joins at its pin."""
    pen = Pen(standing)
    shape = shape_named("port", style)
    if facing_left:
        shape = shape.mirrored()
    pen.put(unit, shape)
    net = unit.nets[0]
    lines = [text for text in (unit.shown, unit.value) if text]
    anchor, x = ("start", 1.6) if facing_left else ("end", -1.6)
    top = -SIZE * 0.6 * (len(lines) - 1)
    for place, text in enumerate(lines):
        kind = "name" if place == 0 else "value"
        pen.write(text, x, top + place * SIZE * 1.2, anchor, kind, unit.name)
    box = union(pen.boxes())
    here = Terminal(net=net, at=(0, 0), pins=1)
    edge = ceil(box.right) if facing_left else floor(box.left)
    none = Terminal(net="", at=(edge, 0), pins=0, ended=True)
    sides = (here, none) if facing_left else (none, here)
    return Block(
        pen=pen,
        box=Box(min(box.left, 0), box.top, max(box.right, 0), box.bottom),
        left=sides[0],
        right=sides[1],
        through=False,
    )
