"""The triangle of an amplifier, with its signs."""

from pedalwright.report.drawing.sheet import Box
from pedalwright.report.drawing.symbols.shape import Mark, Shape, line, outline


def draw_amplifier() -> Shape:
    """``inv`` above at (0, 0), ``non`` below at (0, 2), ``out`` at (6, 1)."""
    ink = (
        outline((1, -1.5), (5, 1), (1, 3.5)),
        line((0, 0), (1, 0)),
        line((0, 2), (1, 2)),
        line((5, 1), (6, 1)),
        line((1.25, 0), (1.85, 0)),
        line((1.25, 2), (1.85, 2)),
        line((1.55, 1.7), (1.55, 2.3)),
    )
    return Shape(
        name="amplifier",
        pins={"inv": (0, 0), "non": (0, 2), "out": (6, 1)},
        ink=ink,
        body=Box(1, -1.5, 5, 3.5),
        marks=(
            Mark("inv", (0.9, -0.55), "end", 0.7),
            Mark("non", (0.9, 2.55), "end", 0.7),
            Mark("out", (5.05, 0.45), "start", 0.7),
        ),
        faces={"inv": "left", "non": "left", "out": "right"},
    )
