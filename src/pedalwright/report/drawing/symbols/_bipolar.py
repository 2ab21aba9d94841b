"""Bipolar transistors: the arrow on the emitter points the way current flows there."""

from pedalwright.report.drawing.sheet import Box, Ring
from pedalwright.report.drawing.symbols.shape import Shape, arrow, line


def draw_bipolar(name: str, *, pnp: bool) -> Shape:
    """``b`` at (0, 0), ``c`` above at (3, -2), ``e`` below at (3, 2)."""
    tail, tip = ((3, 1.15), (2.05, 0.42)) if pnp else ((2.0, 0.38), (3, 1.15))
    ink = (
        line((0, 0), (2, 0)),
        line((2, -0.95), (2, 0.95)),
        line((2, -0.4), (3, -1.2), (3, -2)),
        *arrow(tail, tip, head=0.5),
        line((2, 0.4), (3, 1.2), (3, 2)),
        Ring((2.4, 0), 1.45),
    )
    return Shape(
        name=name,
        pins={"b": (0, 0), "c": (3, -2), "e": (3, 2)},
        ink=ink,
        body=Box(0.95, -1.45, 3.85, 1.45),
        faces={"b": "left", "c": "up", "e": "down"},
    )
