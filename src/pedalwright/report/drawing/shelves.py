"""Rows put on a sheet: under one another, short ones side by side, each with its heading and its stages'
titles.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from pedalwright.report.drawing.layout.pen import Pen
from pedalwright.report.drawing.metrics import label, text_width
from pedalwright.report.drawing.rows import TITLE_SIZE, WIDEST, Row, title_lines
from pedalwright.report.drawing.sheet import Box, Frame, Label

HEADING_SIZE = 1.5
HEADING_ROOM = 2.6
TITLE_LINE = 1.2
RIM = 0.5
"""between a stage's picture and its frame"""
ROOMY = 0.75
"""a row that takes more of the width than this has a shelf to itself"""
BETWEEN, SIDE_BY_SIDE = 2, 4


@dataclass(frozen=True, slots=True)
class Headed:
    """A row with the heading over it; a continued row has none."""

    heading: str
    row: Row

    def box(self) -> Box:
        """What the row covers with its frames and titles, its heading not."""
        whole = self.row.pen.box()
        for frame in self.row.frames:
            top = frame.box.top - RIM - TITLE_LINE * len(title_lines(frame.title)) - 0.2
            whole = whole.around(Box(frame.box.left, top, frame.box.right, frame.box.bottom + RIM))
        wide = text_width(self.heading, HEADING_SIZE, bold=True)
        return Box(whole.left, whole.top, max(whole.right, whole.left + wide), whole.bottom)


def shelved(rows: Sequence[Headed], pen: Pen, widest: int = WIDEST) -> tuple[list[Frame], list[Label]]:
    """All rows on one pen; gives the frames of the stages, and headings and titles as texts."""
    frames: list[Frame] = []
    texts: list[Label] = []
    top = 0
    for shelf in _shelves(rows, widest):
        room = HEADING_ROOM if any(item.heading for item in shelf) else 0.0
        left, low = 0, float(top)
        for item in shelf:
            box = item.box()
            dx, dy = ceil(left - box.left), ceil(top + room - box.top)
            _put(item, dx, dy, pen, frames, texts)
            if item.heading:
                y = top + HEADING_SIZE * 0.6
                texts.append(_text(item.heading, left, y, HEADING_SIZE, ""))
            left = ceil(box.right + dx) + SIDE_BY_SIDE
            low = max(low, box.bottom + dy)
        top = ceil(low) + BETWEEN
    return frames, texts


def _shelves(rows: Sequence[Headed], widest: int) -> list[list[Headed]]:
    """Rows that share a shelf: one that begins under a heading may stand beside what came before it."""
    shelves: list[list[Headed]] = []
    used = 0.0
    for item in rows:
        box = item.box()
        width = box.right - box.left + SIDE_BY_SIDE
        is_short = max(used, width) < widest * ROOMY
        if shelves and item.heading and is_short and used + width <= widest:
            shelves[-1].append(item)
        else:
            shelves.append([item])
            used = 0.0
        used += width
    return shelves


def _put(item: Headed, dx: int, dy: int, pen: Pen, frames: list[Frame], texts: list[Label]) -> None:
    pen.take(item.row.pen, dx, dy)
    for frame in item.row.frames:
        box = frame.box.moved(dx, dy)
        area = Box(box.left, box.top - RIM, box.right, box.bottom + RIM)
        if not frame.stage:
            continue
        frames.append(Frame(stage=frame.stage, kind=frame.kind, title=frame.title, box=area))
        lines = title_lines(frame.title)
        for place, line in enumerate(lines):
            y = area.top - 0.2 - TITLE_LINE * (len(lines) - place - 0.5)
            texts.append(_text(line, area.left, y, TITLE_SIZE, frame.stage))


def _text(text: str, x: float, y: float, size: float, owner: str) -> Label:
    return label(text, x, y, anchor="start", size=size, kind="title", owner=owner)
