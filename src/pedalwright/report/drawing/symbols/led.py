"""A light-emitting diode, or the lamp of an optocoupler: a diode with two arrows going out."""

from pedalwright.report.drawing.sheet import Box
from pedalwright.report.drawing.symbols._diode import HALF, diode_ink
from pedalwright.report.drawing.symbols._sources import ALIKE
from pedalwright.report.drawing.symbols.shape import Shape, Symbol, arrow, two_pin


def _draw(style: str) -> Shape:
    rays = (*arrow((1.9, -0.75), (2.45, -1.4), head=0.35), *arrow((2.5, -0.75), (3.05, -1.4), head=0.35))
    return two_pin("led", (*diode_ink(), *rays), Box(1.4, -1.45, 3.1, HALF))


SYMBOL = Symbol(name="led", kinds=("led",), form="two-pin", draw=_draw, source=ALIKE)
