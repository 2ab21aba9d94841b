"""Junction field-effect transistors: the arrow on the gate points in for an n-channel part."""

from pedalwright.report.drawing.sheet import Box, Ring
from pedalwright.report.drawing.symbols.shape import Shape, arrow, line


def draw_jfet(name: str, *, p_channel: bool) -> Shape:
    """``g`` at (0, 0), ``d`` above at (3, -2), ``s`` below at (3, 2)."""
    tail, tip = ((2.0, 0), (1.0, 0)) if p_channel else ((1.0, 0), (2.0, 0))
    ink = (
        line((0, 0), (2, 0)),
        *arrow(tail, tip, head=0.55),
        line((2, -0.95), (2, 0.95)),
        line((2, -0.6), (3, -0.6), (3, -2)),
        line((2, 0.6), (3, 0.6), (3, 2)),
        Ring((2.2, 0), 1.4),
    )
    return Shape(
        name=name,
        pins={"g": (0, 0), "d": (3, -2), "s": (3, 2)},
        ink=ink,
        body=Box(0.8, -1.4, 3.6, 1.4),
        faces={"g": "left", "d": "up", "s": "down"},
    )
