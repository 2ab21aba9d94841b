"""Blocks side by side in rows: neighbours on one net are joined by a wire, everything else by flags."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import ceil

from pedalwright.report.drawing.layout.block import Block, Terminal
from pedalwright.report.drawing.layout.pen import Pen
from pedalwright.report.drawing.metrics import text_width
from pedalwright.report.drawing.sheet import Box, Frame, Point
from pedalwright.report.drawing.standing import Standing

WIDEST = 128
"""steps in a row: a sheet in landscape, read without a glass"""
TITLE_SIZE = 0.95
ONE_LINE = 12
"""letters of a title that need no second line"""
APART = 2
RIM = 6
"""what flags at the ends of a run take at least"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A block with the stage it shows; a block without a stage has no title."""

    stage: str
    kind: str
    title: str
    block: Block


@dataclass(slots=True)
class Loose:
    """The way out of a row's last block: its net, where it stops by itself, where a neighbour joins, the pins
    joined there so far, and whether it bears a flag already.
    """

    net: str
    inner: Point
    at: Point
    pins: int
    flagged: bool


@dataclass
class Row:
    """One row in the making. `x` is how far it reaches."""

    pen: Pen
    frames: list[Frame] = field(default_factory=list)
    x: int = 0
    loose: Loose | None = None


@dataclass(frozen=True, slots=True)
class Composer:
    """Puts blocks in rows of at most `widest` steps. `pin_count` says how many pins each net has."""

    standing: Standing
    pin_count: Mapping[str, int]
    widest: int = WIDEST

    def rows(self, pictures: Sequence[Picture]) -> list[Row]:
        """The pictures in order, in as many rows as they need."""
        joints = self._joints(pictures)
        rows = [Row(Pen(self.standing))]
        for place, picture in enumerate(pictures):
            row = rows[-1]
            joint = joints[place - 1] if place else -1
            net = picture.block.left.net
            gap = APART if joint < 0 else self._name_room(net) if joint else 1
            run = self._run(pictures, place, joints) if joint < 0 else 0
            need = max(_width(picture), run if run <= self.widest else 0)
            if row.frames and row.x + gap + need > self.widest:
                self._close(row, cut=joint >= 0)
                row = Row(Pen(self.standing))
                rows.append(row)
            elif joint < 0:
                self._close(row, cut=False)
            self._add(row, picture, named=joint > 0)
        self._close(rows[-1], cut=False)
        return rows

    def _joints(self, pictures: Sequence[Picture]) -> list[int]:
        """For each pair of neighbours: -1 when they share no net, 1 when their wire must bear a name, else
        0.
        """
        joints: list[int] = []
        for left, right in pairwise(pictures):
            a, b = left.block.right, right.block.left
            joints.append(0 if a.net == b.net and not a.ended and not b.ended else -1)
        place = 0
        while place < len(joints):
            if joints[place] < 0:
                place += 1
                continue
            last = place
            while last + 1 < len(joints) and joints[last + 1] == 0 and pictures[last + 1].block.through:
                last += 1
            chain = pictures[place : last + 2]
            pins = chain[0].block.right.pins + sum(item.block.left.pins for item in chain[1:])
            opens = chain[0].block.through and (place == 0 or joints[place - 1] < 0)
            if not opens and self._must_name(chain[0].block.right.net, pins):
                joints[place] = 1
            place = last + 1
        return joints

    def _run(self, pictures: Sequence[Picture], place: int, joints: Sequence[int]) -> int:
        """How much the pictures take that are joined from here on."""
        width = _width(pictures[place]) + RIM
        while place < len(joints) and joints[place] >= 0:
            place += 1
            gap = self._name_room(pictures[place].block.left.net) if joints[place - 1] else 1
            width += gap + _width(pictures[place])
        return width

    def _name_room(self, net: str) -> int:
        return 2 * ceil(Pen(self.standing).flag_room(net, "up").right + 0.3)

    def _add(self, row: Row, picture: Picture, *, named: bool) -> None:
        block, pen = picture.block, row.pen
        before = row.loose
        if before is not None:
            left, dy = self._join(row, before, block, named=named)
        else:
            left, dy = self._open(row, block), -block.left.at[1]
        dx = left - block.left.at[0]
        pen.take(block.pen, dx, dy)
        box = block.box.moved(dx, dy)
        row.x = max(ceil(box.right), left + _width(picture))
        area = Box(left, box.top, row.x, box.bottom)
        row.frames.append(Frame(stage=picture.stage, kind=picture.kind, title=picture.title, box=area))
        row.loose = self._way_out(row, block, before, dx, dy, named=named)

    def _way_out(
        self, row: Row, block: Block, before: Loose | None, dx: int, dy: int, *, named: bool
    ) -> Loose | None:
        right = block.right
        if right.ended:
            return None
        inner = right.inner or right.at
        y = inner[1] + dy
        loose = Loose(right.net, (inner[0] + dx, y), (row.x, y), right.pins, flagged=False)
        if block.through:
            loose.flagged = named or (before.flagged if before else self._is_short(block.left))
            loose.pins += before.pins if before else 0
        return loose

    def _join(self, row: Row, before: Loose, block: Block, *, named: bool) -> tuple[int, int]:
        """The wire from the last block to this one, with a flag on it when it needs a name."""
        pen, net = row.pen, before.net
        (x, y), inner = before.at, block.left.inner or block.left.at
        gap = self._name_room(net) if named else 1
        if named:
            middle = x + gap // 2
            pen.wire(net, (middle, y), (middle, y - 1))
            pen.flag(net, (middle, y - 1), "up")
        left, dy = x + gap, y - block.left.at[1]
        pen.wire(net, before.inner, (left + inner[0] - block.left.at[0], y))
        return left, dy

    def _open(self, row: Row, block: Block) -> int:
        """The flag at the left of a block that joins no neighbour; gives the block's column."""
        terminal = block.left
        left = row.x + (APART if row.frames else 0)
        if terminal.ended or not self._is_short(terminal):
            return left
        room = row.pen.flag_room(terminal.net, "left")
        column = left + ceil(-room.left)
        inner = terminal.inner or terminal.at
        row.pen.flag(terminal.net, (column, 0), "left")
        ahead = max(1, ceil(room.right + 0.2))
        row.pen.wire(terminal.net, (column, 0), (column + ahead + inner[0] - terminal.at[0], 0))
        return column + ahead

    def _close(self, row: Row, *, cut: bool) -> None:
        """The flag at the right of the last block when nothing joins it there."""
        loose, row.loose = row.loose, None
        if loose is None or loose.flagged:
            return
        if not cut and not self._must_name(loose.net, loose.pins):
            return
        room = row.pen.flag_room(loose.net, "right")
        end = (loose.at[0] + max(1, ceil(0.2 - room.left)), loose.at[1])
        row.pen.wire(loose.net, loose.inner, end)
        row.x = ceil(row.pen.flag(loose.net, end, "right").right)

    def _is_short(self, terminal: Terminal) -> bool:
        """True when a net has more pins than are joined here, or is one that always bears its symbol."""
        named = self._must_name(terminal.net, terminal.pins)
        return named or self.standing.style(terminal.net) in ("ground", "rail")

    def _must_name(self, net: str, pins: int) -> bool:
        """True when a net has more pins than are joined here, or when the builder will look for its name."""
        return pins < self.pin_count.get(net, 0) or net in self.standing.points


def title_lines(title: str) -> list[str]:
    """A title in one line, or in two of about the same length."""
    words = title.split()
    if len(title) <= ONE_LINE or len(words) < 2:
        return [title] if title else []
    cuts = [(" ".join(words[:cut]), " ".join(words[cut:])) for cut in range(1, len(words))]
    return list(min(cuts, key=lambda pair: max(map(len, pair))))


def _width(picture: Picture) -> int:
    box = picture.block.box
    titles = [text_width(line, TITLE_SIZE, bold=True) + 0.5 for line in title_lines(picture.title)]
    return ceil(max([box.right - box.left, *titles]))
