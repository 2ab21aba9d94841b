"""A p-channel junction field-effect transistor, source upward."""

from pedalwright.report.drawing.symbols._jfet import draw_jfet
from pedalwright.report.drawing.symbols._sources import ALIKE
from pedalwright.report.drawing.symbols.shape import Shape, Symbol


def _draw(style: str) -> Shape:
    return draw_jfet("p-jfet", p_channel=True).upended()


SYMBOL = Symbol(name="p-jfet", kinds=("p-jfet",), form="device", draw=_draw, source=ALIKE)
