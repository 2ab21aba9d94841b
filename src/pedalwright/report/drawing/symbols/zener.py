"""A zener diode: the bar has a hook."""

from pedalwright.report.drawing.symbols._diode import BODY, HALF, diode_ink
from pedalwright.report.drawing.symbols._sources import ALIKE
from pedalwright.report.drawing.symbols.shape import Shape, Symbol, two_pin

HOOK = ((2.15, -HALF), (2.5, -HALF), (2.5, HALF))


def _draw(style: str) -> Shape:
    return two_pin("zener", diode_ink(*HOOK), BODY)


SYMBOL = Symbol(name="zener", kinds=("zener-diode",), form="two-pin", draw=_draw, source=ALIKE)
