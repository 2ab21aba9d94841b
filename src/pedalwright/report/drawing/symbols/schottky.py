"""A Schottky diode: the bar turns back on itself at both ends."""

from pedalwright.report.drawing.symbols._diode import BODY, HALF, diode_ink
from pedalwright.report.drawing.symbols._sources import ALIKE
from pedalwright.report.drawing.symbols.shape import Shape, Symbol, two_pin

HOOK = (
    (2.15, -HALF + 0.3),
    (2.15, -HALF),
    (2.5, -HALF),
    (2.5, HALF),
    (2.85, HALF),
    (2.85, HALF - 0.3),
)


def _draw(style: str) -> Shape:
    return two_pin("schottky", diode_ink(*HOOK), BODY.around(BODY.moved(0.3, 0)))


SYMBOL = Symbol(name="schottky", kinds=("schottky-diode",), form="two-pin", draw=_draw, source=ALIKE)
