"""The body of a resistor, which knobs, trims and cells share."""

from pedalwright.report.drawing.sheet import Ink
from pedalwright.report.drawing.symbols.shape import AMERICAN, line, outline

HALF = 0.45


def body_ink(style: str) -> tuple[Ink, ...]:
    """The body with its two leads, from (0, 0) to (4, 0)."""
    if style == AMERICAN:
        teeth = [(0.8 + 0.2 + 0.4 * place, HALF * (-1) ** (place + 1)) for place in range(6)]
        return (line((0, 0), (0.8, 0), *teeth, (3.2, 0), (4, 0)),)
    return (
        line((0, 0), (0.8, 0)),
        outline((0.8, -HALF), (3.2, -HALF), (3.2, HALF), (0.8, HALF)),
        line((3.2, 0), (4, 0)),
    )
