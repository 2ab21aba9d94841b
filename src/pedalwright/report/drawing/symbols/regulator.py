"""A voltage regulator: a box, in at the left, out at the right, ground below."""

from pedalwright.report.drawing.sheet import Box
from pedalwright.report.drawing.symbols._sources import ALIKE
from pedalwright.report.drawing.symbols.shape import Mark, Shape, Symbol, line, outline


def _draw(style: str) -> Shape:
    ink = (
        line((0, 0), (1, 0)),
        outline((1, -1), (7, -1), (7, 2), (1, 2)),
        line((7, 0), (8, 0)),
        line((4, 2), (4, 3)),
    )
    marks = (
        Mark("in", (1.3, 0), "start"),
        Mark("out", (6.7, 0), "end"),
        Mark("gnd", (4, 1.4), "middle"),
    )
    return Shape(
        name="regulator",
        pins={"in": (0, 0), "gnd": (4, 3), "out": (8, 0)},
        ink=ink,
        body=Box(1, -1, 7, 2),
        marks=marks,
        faces={"in": "left", "out": "right", "gnd": "down"},
    )


SYMBOL = Symbol(name="regulator", kinds=("regulator",), form="device", draw=_draw, source=ALIKE)
