"""An npn transistor."""

from pedalwright.report.drawing.symbols._bipolar import draw_bipolar
from pedalwright.report.drawing.symbols._sources import ALIKE
from pedalwright.report.drawing.symbols.shape import Shape, Symbol


def _draw(style: str) -> Shape:
    return draw_bipolar("npn", pnp=False)


SYMBOL = Symbol(name="npn", kinds=("npn",), form="device", draw=_draw, source=ALIKE)
