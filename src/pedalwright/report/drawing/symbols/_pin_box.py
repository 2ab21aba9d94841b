"""A box with named pins on its sides, for whatever has no picture of its own."""

from collections.abc import Sequence
from math import ceil

from pedalwright.report.drawing.metrics import text_width
from pedalwright.report.drawing.sheet import Box, Ink, Point
from pedalwright.report.drawing.symbols.shape import Mark, Shape, line, outline

PinText = tuple[str, str]
SIZE = 0.8


def pin_box(
    name: str, left: Sequence[PinText], right: Sequence[PinText], *, pitch: int = 3, inside: int = 0
) -> Shape:
    """A box of pins (name, text shown): the first at the left at (0, 0), the next `pitch` lower; likewise
    right.
    """
    room = _widest(left) + _widest(right) + 2
    width = max(4, ceil(room), inside)
    rows = max(len(left), len(right), 1)
    low = (rows - 1) * pitch + 1
    ink: list[Ink] = [outline((1, -1), (1 + width, -1), (1 + width, low), (1, low))]
    pins: dict[str, Point] = {}
    marks: list[Mark] = []
    faces: dict[str, str] = {}
    for place, (pin, text) in enumerate(left):
        y = place * pitch
        pins[pin], faces[pin] = (0, y), "left"
        ink.append(line((0, y), (1, y)))
        marks.append(Mark(text, (1.3, y), "start", SIZE))
    for place, (pin, text) in enumerate(right):
        y = place * pitch
        pins[pin], faces[pin] = (width + 2, y), "right"
        ink.append(line((width + 1, y), (width + 2, y)))
        marks.append(Mark(text, (width + 0.7, y), "end", SIZE))
    body = Box(1, -1, 1 + width, low)
    return Shape(name=name, pins=pins, ink=tuple(ink), body=body, marks=tuple(marks), faces=faces)


def _widest(pins: Sequence[PinText]) -> float:
    return max((text_width(text, SIZE) for _, text in pins), default=0.0)
