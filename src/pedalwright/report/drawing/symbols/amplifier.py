"""An amplifier: a triangle with its signs. The same triangle serves both styles: every bench reads it at
once.
"""

from pedalwright.report.drawing.symbols._amplifier import draw_amplifier
from pedalwright.report.drawing.symbols._sources import IEEE_315
from pedalwright.report.drawing.symbols.shape import Shape, Symbol


def _draw(style: str) -> Shape:
    return draw_amplifier()


SYMBOL = Symbol(name="amplifier", kinds=("opamp",), form="device", draw=_draw, source=IEEE_315)
