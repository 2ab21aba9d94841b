"""The supply pins of an amplifier package, drawn once for all its sections."""

from pedalwright.report.drawing.sheet import Box
from pedalwright.report.drawing.symbols._sources import IEEE_315
from pedalwright.report.drawing.symbols.shape import Mark, Shape, Symbol, line, outline


def _draw(style: str) -> Shape:
    ink = (
        outline((-1, -1.8), (2.6, 0), (-1, 1.8)),
        line((0, -2), (0, -1.3)),
        line((0, 2), (0, 1.3)),
    )
    return Shape(
        name="supply-pins",
        pins={"v+": (0, -2), "v-": (0, 2)},
        ink=ink,
        body=Box(-1, -1.8, 2.6, 1.8),
        marks=(Mark("v+", (0.35, -2.0), "start", 0.7), Mark("v-", (0.35, 2.0), "start", 0.7)),
        faces={"v+": "up", "v-": "down"},
    )


SYMBOL = Symbol(name="supply-pins", kinds=(), form="device", draw=_draw, source=IEEE_315)
