"""An n-channel junction field-effect transistor."""

from pedalwright.report.drawing.symbols._jfet import draw_jfet
from pedalwright.report.drawing.symbols._sources import ALIKE
from pedalwright.report.drawing.symbols.shape import Shape, Symbol


def _draw(style: str) -> Shape:
    return draw_jfet("n-jfet", p_channel=False)


SYMBOL = Symbol(name="n-jfet", kinds=("n-jfet",), form="device", draw=_draw, source=ALIKE)
