"""A knob: a resistor with a third pin, the wiper, as an arrow."""

from pedalwright.report.drawing.symbols._sources import BOTH
from pedalwright.report.drawing.symbols._track import draw_track
from pedalwright.report.drawing.symbols.shape import Shape, Symbol


def _draw(style: str) -> Shape:
    return draw_track(style, trim=False)


SYMBOL = Symbol(name="knob", kinds=("knob",), form="track", draw=_draw, source=BOTH)
