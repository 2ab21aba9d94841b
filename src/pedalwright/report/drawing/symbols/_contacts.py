"""One pole of a switch: the moving contact at the left, the positions at the right, the arm where it
stands.
"""

from collections.abc import Sequence

from pedalwright.report.drawing.metrics import shortened, text_width
from pedalwright.report.drawing.sheet import Box, Ink, Point, Ring
from pedalwright.report.drawing.symbols.shape import Mark, Shape, line

LONGEST = 10
PITCH = 3


def contacts(common: str, positions: Sequence[tuple[str, str]], stands: str) -> Shape:
    """`positions` are pins with the words shown at them; `stands` is the pin the arm touches."""
    pins: dict[str, Point] = {common: (0, 0)}
    faces = {common: "left"}
    room = max((text_width(shortened(text, LONGEST), 0.8) for _, text in positions), default=0.0)
    end = 5 + int(room) + 1
    ink: list[Ink] = [line((0, 0), (0.9, 0)), Ring((1.1, 0), 0.2)]
    marks: list[Mark] = []
    for place, (pin, text) in enumerate(positions):
        y = PITCH * place
        pins[pin], faces[pin] = (end, y), "right"
        ink += [Ring((4, y), 0.2), line((4.2, y), (end, y))]
        marks.append(Mark(shortened(text, LONGEST), (4.5, y - 0.65), "start", 0.8))
        if pin == stands:
            ink.append(line((1.28, 0.08), (3.82, y - 0.08)))
    body = Box(0.9, -1.2, end - 0.5, PITCH * max(len(positions) - 1, 0) + 0.4)
    return Shape(name="switch", pins=pins, ink=tuple(ink), body=body, marks=tuple(marks), faces=faces)
