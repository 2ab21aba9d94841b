"""A resistor with a wiper, for knobs and trims."""

from pedalwright.report.drawing.sheet import Box, Ink
from pedalwright.report.drawing.symbols._resistor import HALF, body_ink
from pedalwright.report.drawing.symbols.shape import Mark, Shape, arrow, line

SMALL = 0.7


def draw_track(style: str, *, trim: bool) -> Shape:
    """Lug 1 at (0, 0), lug 3 at (4, 0), the wiper above at (2, -2)."""
    if trim:
        wiper: tuple[Ink, ...] = (line((2, -2), (2, -HALF)), line((1.5, -HALF - 0.12), (2.5, -HALF - 0.12)))
    else:
        wiper = arrow((2, -2), (2, -HALF), head=0.6)
    marks = (
        Mark("1", (0.4, -0.55), size=SMALL),
        Mark("2", (1.6, -1.45), size=SMALL),
        Mark("3", (3.6, -0.55), size=SMALL),
    )
    return Shape(
        name="trim" if trim else "knob",
        pins={"1": (0, 0), "2": (2, -2), "3": (4, 0)},
        ink=(*body_ink(style), *wiper),
        body=Box(0.8, -1.2, 3.2, HALF),
        marks=marks,
        faces={"1": "left", "2": "up", "3": "right"},
    )
