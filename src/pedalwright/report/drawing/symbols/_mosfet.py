"""Insulated-gate field-effect transistors of the enhancement sort: a broken channel, the body on the
source.
"""

from pedalwright.report.drawing.sheet import Box, Ring
from pedalwright.report.drawing.symbols.shape import Shape, arrow, line


def draw_mosfet(name: str, *, p_channel: bool) -> Shape:
    """``g`` at (0, 0), ``d`` above at (3, -2), ``s`` below at (3, 2)."""
    tail, tip = ((2.05, 0), (2.95, 0)) if p_channel else ((3, 0), (2.05, 0))
    ink = (
        line((0, 0), (1.6, 0)),
        line((1.6, -0.8), (1.6, 0.8)),
        line((2, -1.0), (2, -0.5)),
        line((2, -0.25), (2, 0.25)),
        line((2, 0.5), (2, 1.0)),
        line((2, -0.75), (3, -0.75), (3, -2)),
        line((2, 0.75), (3, 0.75), (3, 2)),
        *arrow(tail, tip),
        line((3, 0), (3, 0.75)),
        Ring((2.3, 0), 1.45),
    )
    return Shape(
        name=name,
        pins={"g": (0, 0), "d": (3, -2), "s": (3, 2)},
        ink=ink,
        body=Box(0.85, -1.45, 3.75, 1.45),
        faces={"g": "left", "d": "up", "s": "down"},
    )
