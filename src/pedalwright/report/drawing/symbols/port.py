"""Where the pedal meets the world: a small ring at the end of a wire."""

from pedalwright.report.drawing.sheet import Box, Ring
from pedalwright.report.drawing.symbols._sources import ALIKE
from pedalwright.report.drawing.symbols.shape import Shape, Symbol, line


def _draw(style: str) -> Shape:
    return Shape(
        name="port",
        pins={"net": (0, 0)},
        ink=(Ring((-0.85, 0), 0.35), line((-0.5, 0), (0, 0))),
        body=Box(-1.2, -0.35, -0.5, 0.35),
        faces={"net": "right"},
    )


SYMBOL = Symbol(name="port", kinds=(), form="device", draw=_draw, source=ALIKE)
