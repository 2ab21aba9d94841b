"""The plain layout of one unit: its symbol, and at every pin a flag with the net's name. Always provable."""

from collections.abc import Sequence
from math import ceil, floor

from pedalwright.report.drawing.layout.block import Block, Terminal
from pedalwright.report.drawing.layout.boxes import shape_for
from pedalwright.report.drawing.layout.pen import SIZE, Pen, union
from pedalwright.report.drawing.layout.strand import Wiring
from pedalwright.report.drawing.sheet import Box, Point
from pedalwright.report.drawing.standing import Standing
from pedalwright.report.drawing.units import Unit

WIDEST = 56
"""steps in a line of a stage drawn part by part"""
_STEP = {"left": (-1, 0), "right": (1, 0), "up": (0, -1), "down": (0, 1)}


def safe_block(unit: Unit, standing: Standing, wiring: Wiring, style: str) -> Block:
    """The unit with a flag at every pin whose net has another pin."""
    pen = Pen(standing)
    shape = shape_for(unit, unit.pins[0][0], style)
    pen.put(unit, shape)
    for pin, _, net in unit.pins:
        if net not in wiring.alone:
            _flag(pen, net, shape.pins[pin], shape.faces[pin])
    _texts(pen, unit, shape.body)
    box = union(pen.boxes())
    left, right = floor(box.left), ceil(box.right)
    return Block(
        pen=pen,
        box=Box(left, box.top, right, box.bottom),
        left=Terminal(net="", at=(left, 0), pins=0, ended=True),
        right=Terminal(net="", at=(right, 0), pins=0, ended=True),
        through=False,
    )


def safe_stage(units: Sequence[Unit], standing: Standing, wiring: Wiring, style: str) -> Block:
    """The units of a stage so drawn, side by side in lines."""
    pen = Pen(standing)
    x, top, low = 0, 0, 0.0
    for unit in units:
        block = safe_block(unit, standing, wiring, style)
        width = ceil(block.box.right - block.box.left)
        if x and x + width > WIDEST:
            x, top = 0, ceil(low) + 1
        dy = ceil(top - block.box.top)
        pen.take(block.pen, x - floor(block.box.left), dy)
        low = max(low, dy + block.box.bottom)
        x += width + 2
    box = union(pen.boxes())
    return Block(
        pen=pen,
        box=box,
        left=Terminal(net="", at=(floor(box.left), 0), pins=0, ended=True),
        right=Terminal(net="", at=(ceil(box.right), 0), pins=0, ended=True),
        through=False,
    )


def _flag(pen: Pen, net: str, at: Point, facing: str) -> None:
    room = pen.flag_room(net, facing)
    over = {"left": room.right, "right": -room.left}.get(facing, 0.0)
    length = max(1, ceil(over + 0.2))
    dx, dy = _STEP[facing]
    end = (at[0] + dx * length, at[1] + dy * length)
    pen.wire(net, at, end)
    pen.flag(net, end, facing)


def _texts(pen: Pen, unit: Unit, body: Box) -> None:
    """Designator and value on one line above everything else."""
    y = union(pen.boxes()).top - 0.15 - SIZE * 0.6
    first = pen.write(unit.shown, body.left, y, "start", "name", unit.name)
    pen.write(unit.value, first.box.right + 0.5, y, "start", "value", unit.name)
