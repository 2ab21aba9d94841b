"""A diode: an arrow head against a bar. Pin 1 is the anode."""

from pedalwright.report.drawing.symbols._diode import BODY, diode_ink
from pedalwright.report.drawing.symbols._sources import ALIKE
from pedalwright.report.drawing.symbols.shape import Shape, Symbol, two_pin


def _draw(style: str) -> Shape:
    return two_pin("diode", diode_ink(), BODY)


SYMBOL = Symbol(
    name="diode", kinds=("silicon-diode", "germanium-diode"), form="two-pin", draw=_draw, source=ALIKE
)
