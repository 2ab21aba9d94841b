"""An n-channel insulated-gate field-effect transistor."""

from pedalwright.report.drawing.symbols._mosfet import draw_mosfet
from pedalwright.report.drawing.symbols._sources import ALIKE
from pedalwright.report.drawing.symbols.shape import Shape, Symbol


def _draw(style: str) -> Shape:
    return draw_mosfet("n-mosfet", p_channel=False)


SYMBOL = Symbol(name="n-mosfet", kinds=("n-mosfet",), form="device", draw=_draw, source=ALIKE)
