"""A resistor: a rectangle, or a zigzag of three teeth each way."""

from pedalwright.report.drawing.sheet import Box
from pedalwright.report.drawing.symbols._resistor import HALF, body_ink
from pedalwright.report.drawing.symbols._sources import BOTH
from pedalwright.report.drawing.symbols.shape import Shape, Symbol, two_pin


def _draw(style: str) -> Shape:
    return two_pin("resistor", body_ink(style), Box(0.8, -HALF, 3.2, HALF))


SYMBOL = Symbol(name="resistor", kinds=("resistor",), form="two-pin", draw=_draw, source=BOTH)
