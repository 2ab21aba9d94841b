"""A trim: set once, with a screwdriver."""

from pedalwright.report.drawing.symbols._sources import BOTH
from pedalwright.report.drawing.symbols._track import draw_track
from pedalwright.report.drawing.symbols.shape import Shape, Symbol


def _draw(style: str) -> Shape:
    return draw_track(style, trim=True)


SYMBOL = Symbol(name="trim", kinds=("trim",), form="track", draw=_draw, source=BOTH)
