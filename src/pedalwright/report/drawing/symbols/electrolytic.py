"""An electrolytic capacitor: a hollow plate with a plus, or a straight and a bent plate."""

from math import cos, sin

from pedalwright.report.drawing.sheet import Box
from pedalwright.report.drawing.symbols._sources import BOTH
from pedalwright.report.drawing.symbols.shape import AMERICAN, Shape, Symbol, line, outline, two_pin

PLATE = 0.9
PLUS = (line((1.0, -0.65), (1.5, -0.65)), line((1.25, -0.9), (1.25, -0.4)))


def _draw(style: str) -> Shape:
    if style == AMERICAN:
        bent = tuple((3.65 - 1.4 * cos(0.7 * k / 6), 1.4 * sin(0.7 * k / 6)) for k in range(-6, 7))
        plates = (line((1.75, -PLATE), (1.75, PLATE)), line(*bent))
        leads = (line((0, 0), (1.75, 0)), line((2.25, 0), (4, 0)))
    else:
        hollow = outline((1.6, -PLATE), (1.9, -PLATE), (1.9, PLATE), (1.6, PLATE))
        plates = (hollow, line((2.3, -PLATE), (2.3, PLATE)))
        leads = (line((0, 0), (1.6, 0)), line((2.3, 0), (4, 0)))
    return two_pin("electrolytic", (*leads, *plates, *PLUS), Box(0.95, -0.95, 2.5, PLATE))


SYMBOL = Symbol(name="electrolytic", kinds=(), form="two-pin", draw=_draw, source=BOTH)
