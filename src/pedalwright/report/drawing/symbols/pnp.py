"""A pnp transistor, emitter upward: it hangs from the rail."""

from pedalwright.report.drawing.symbols._bipolar import draw_bipolar
from pedalwright.report.drawing.symbols._sources import ALIKE
from pedalwright.report.drawing.symbols.shape import Shape, Symbol


def _draw(style: str) -> Shape:
    return draw_bipolar("pnp", pnp=True).upended()


SYMBOL = Symbol(name="pnp", kinds=("pnp",), form="device", draw=_draw, source=ALIKE)
