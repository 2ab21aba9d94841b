"""A diode: an arrow head against a bar. Pin 1 is the anode."""

from pedalwright.report.drawing.sheet import Box, Ink
from pedalwright.report.drawing.symbols._sources import ALIKE
from pedalwright.report.drawing.symbols.shape import Shape, Symbol, line, outline, two_pin

HALF = 0.65
BODY = Box(1.4, -HALF, 2.6, HALF)


def diode_ink(*bar: tuple[float, float]) -> tuple[Ink, ...]:
    """Leads, arrow head, and a bar of another form when its points are given."""
    return (
        line((0, 0), (4, 0)),
        outline((1.4, -HALF), (2.5, 0), (1.4, HALF)),
        line(*(bar or ((2.5, -HALF), (2.5, HALF)))),
    )


def _draw(style: str) -> Shape:
    return two_pin("diode", diode_ink(), BODY)


SYMBOL = Symbol(
    name="diode", kinds=("silicon-diode", "germanium-diode"), form="two-pin", draw=_draw, source=ALIKE
)
