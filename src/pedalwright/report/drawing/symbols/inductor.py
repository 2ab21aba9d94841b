"""An inductor: four half-round turns."""

from math import cos, pi, sin

from pedalwright.report.drawing.sheet import Box, Place
from pedalwright.report.drawing.symbols._sources import ALIKE
from pedalwright.report.drawing.symbols.shape import Shape, Symbol, line, two_pin

TURNS, RADIUS, PIECES = 4, 0.35, 8


def _turn(place: int) -> list[Place]:
    middle = 0.6 + RADIUS * (2 * place + 1)
    angles = (pi - pi * piece / PIECES for piece in range(PIECES + 1))
    return [(middle + RADIUS * cos(angle), -RADIUS * sin(angle)) for angle in angles]


def _draw(style: str) -> Shape:
    turns = [point for place in range(TURNS) for point in _turn(place)]
    ink = (line((0, 0), *turns, (4, 0)),)
    return two_pin("inductor", ink, Box(0.6, -0.4, 3.4, 0.1))


SYMBOL = Symbol(name="inductor", kinds=("inductor",), form="two-pin", draw=_draw, source=ALIKE)
