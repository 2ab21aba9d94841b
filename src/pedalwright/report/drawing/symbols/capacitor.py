"""A capacitor without polarity: two plates."""

from pedalwright.report.drawing.sheet import Box
from pedalwright.report.drawing.symbols._sources import ALIKE
from pedalwright.report.drawing.symbols.shape import Shape, Symbol, line, two_pin

PLATE = 0.9


def _draw(style: str) -> Shape:
    ink = (
        line((0, 0), (1.75, 0)),
        line((1.75, -PLATE), (1.75, PLATE)),
        line((2.25, -PLATE), (2.25, PLATE)),
        line((2.25, 0), (4, 0)),
    )
    return two_pin("capacitor", ink, Box(1.65, -PLATE, 2.35, PLATE))


SYMBOL = Symbol(name="capacitor", kinds=("capacitor",), form="two-pin", draw=_draw, source=ALIKE)
