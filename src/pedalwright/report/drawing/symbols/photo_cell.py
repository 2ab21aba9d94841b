"""The cell of an optocoupler: a resistor with two arrows coming in."""

from pedalwright.report.drawing.sheet import Box
from pedalwright.report.drawing.symbols._resistor import HALF, body_ink
from pedalwright.report.drawing.symbols._sources import BOTH
from pedalwright.report.drawing.symbols.shape import Shape, Symbol, arrow, two_pin


def _draw(style: str) -> Shape:
    rays = (*arrow((1.0, -1.4), (1.55, -0.6), head=0.35), *arrow((1.8, -1.4), (2.35, -0.6), head=0.35))
    return two_pin("photo-cell", (*body_ink(style), *rays), Box(0.8, -1.45, 3.2, HALF))


SYMBOL = Symbol(name="photo-cell", kinds=(), form="two-pin", draw=_draw, source=BOTH)
