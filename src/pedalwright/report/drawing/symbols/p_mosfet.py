"""A p-channel insulated-gate field-effect transistor, source upward."""

from pedalwright.report.drawing.symbols._mosfet import draw_mosfet
from pedalwright.report.drawing.symbols._sources import ALIKE
from pedalwright.report.drawing.symbols.shape import Shape, Symbol


def _draw(style: str) -> Shape:
    return draw_mosfet("p-mosfet", p_channel=True).upended()


SYMBOL = Symbol(name="p-mosfet", kinds=("p-mosfet",), form="device", draw=_draw, source=ALIKE)
