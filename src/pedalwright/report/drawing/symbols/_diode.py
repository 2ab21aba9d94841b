"""What all diodes share: leads and arrow head."""

from pedalwright.report.drawing.sheet import Box, Ink
from pedalwright.report.drawing.symbols.shape import line, outline

HALF = 0.65
BODY = Box(1.4, -HALF, 2.6, HALF)


def diode_ink(*bar: tuple[float, float]) -> tuple[Ink, ...]:
    """Leads, arrow head, and a bar of another form when its points are given."""
    return (
        line((0, 0), (4, 0)),
        outline((1.4, -HALF), (2.5, 0), (1.4, HALF)),
        line(*(bar or ((2.5, -HALF), (2.5, HALF)))),
    )
