"""A fuse: a rectangle with the wire through it, or a wave."""

from math import pi, sin

from pedalwright.report.drawing.sheet import Box, Ink
from pedalwright.report.drawing.symbols._sources import BOTH
from pedalwright.report.drawing.symbols.shape import AMERICAN, Shape, Symbol, line, outline, two_pin

HALF = 0.4


def _draw(style: str) -> Shape:
    wave = tuple((0.8 + 0.2 * k, -HALF * sin(pi * k / 6)) for k in range(13))
    if style == AMERICAN:
        ink: tuple[Ink, ...] = (line((0, 0), *wave, (4, 0)),)
    else:
        ink = (line((0, 0), (4, 0)), outline((0.8, -HALF), (3.2, -HALF), (3.2, HALF), (0.8, HALF)))
    return two_pin("fuse", ink, Box(0.8, -HALF, 3.2, HALF))


SYMBOL = Symbol(name="fuse", kinds=("fuse",), form="two-pin", draw=_draw, source=BOTH)
