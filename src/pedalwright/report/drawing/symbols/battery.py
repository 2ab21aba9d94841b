"""A battery: long plate plus, short plate minus. Pin 1 is the plus."""

from pedalwright.report.drawing.sheet import Box
from pedalwright.report.drawing.symbols._sources import ALIKE
from pedalwright.report.drawing.symbols.shape import Shape, Symbol, line, two_pin


def _draw(style: str) -> Shape:
    ink = (
        line((0, 0), (1.4, 0)),
        line((1.4, -0.9), (1.4, 0.9)),
        line((1.8, -0.5), (1.8, 0.5)),
        line((2.2, -0.9), (2.2, 0.9)),
        line((2.6, -0.5), (2.6, 0.5)),
        line((2.6, 0), (4, 0)),
        line((0.7, -0.65), (1.2, -0.65)),
        line((0.95, -0.9), (0.95, -0.4)),
    )
    return two_pin("battery", ink, Box(0.65, -0.95, 2.7, 0.9))


SYMBOL = Symbol(name="battery", kinds=("battery",), form="two-pin", draw=_draw, source=ALIKE)
