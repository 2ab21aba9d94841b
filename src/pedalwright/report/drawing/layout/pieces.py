"""Two-ended parts in place: lying along a line with their texts above and below, or hanging with texts at
the right.
"""

from dataclasses import replace
from math import ceil

from pedalwright.report.drawing.layout.pen import SIZE, Pen, width_of
from pedalwright.report.drawing.layout.strand import Link, Strand
from pedalwright.report.drawing.sheet import Point
from pedalwright.report.drawing.symbols._family import shape_named
from pedalwright.report.drawing.symbols.shape import Shape
from pedalwright.report.drawing.units import TRACK, Unit

GAP = 0.15
LINE = SIZE * 1.2


def name_text(unit: Unit) -> str:
    """The designator as written beside the symbol: a section inside a chip goes by the chip's name."""
    return unit.part


def level_length(strand: Strand) -> int:
    """How many steps a strand takes lying down."""
    return sum(_slot(link) for link in strand.links)


def hanging_width(strand: Strand) -> tuple[float, float]:
    """How far a hanging strand reaches to the left and to the right of its line."""
    right = max(_side(link) + _texts(link.unit) for link in strand.links)
    return 1.2, right + 0.3


def draw_level(pen: Pen, strand: Strand, start: Point, style: str, *, room: int = 0) -> Point:
    """The strand from a point to the right, in the middle of `room` steps if that is more than it needs;
    gives its end.
    """
    x, y = start
    spare = max(room - level_length(strand), 0)
    lead = spare // 2
    pen.wire(strand.start, (x, y), (x + lead, y))
    x += lead
    for link in strand.links:
        shape = shape_of(link, style)
        slot, length = _slot(link), end_of(shape)[0]
        before = (slot - length) // 2
        pen.wire(link.start, (x, y), (x + before, y))
        put = shape.moved(x + before, y)
        pen.put(link.unit, put)
        middle = (put.body.left + put.body.right) / 2
        top = min(put.body.top, *(point[1] for tie in put.ties for point in tie), put.body.top)
        above, below = top - GAP - SIZE * 0.58, put.body.bottom + GAP + SIZE * 0.58
        pen.write(name_text(link.unit), middle, above, "middle", "name", link.unit.name)
        pen.write(link.unit.value, middle, below, "middle", "value", link.unit.name)
        pen.wire(link.end, (x + before + length, y), (x + slot, y))
        x += slot
    pen.wire(strand.end, (x, y), (x + spare - lead, y))
    return x + spare - lead, y


def draw_hanging(pen: Pen, strand: Strand, start: Point, style: str, *, up: bool = False) -> Point:
    """The strand from a point downward (or upward); gives its end."""
    x, y = start
    sign = -1 if up else 1
    for link in strand.links:
        shape = shape_of(link, style)
        length = end_of(shape)[0]
        put = shape.turned(3) if up else shape.turned(1)
        if up and link.unit.form == TRACK:
            put = put.mirrored()
        put = put.moved(x, y)
        pen.put(link.unit, put)
        middle = (put.body.top + put.body.bottom) / 2
        side = x + _side(link)
        lines = [text for text in (name_text(link.unit), link.unit.value) if text]
        top = middle - LINE * (len(lines) - 1) / 2
        for place, text in enumerate(lines):
            kind = "name" if place == 0 else "value"
            pen.write(text, side, top + place * LINE, "start", kind, link.unit.name)
        y += sign * length
    return x, y


def end_of(shape: Shape) -> Point:
    """Where a two-ended shape's way ends: `end` among its ties, else its pin on the line farthest to the
    right.
    """
    points = [*shape.pins.values(), *(point for tie in shape.ties for point in tie)]
    return max((point for point in points if point[1] == 0), key=lambda point: point[0])


def shape_of(link: Link, style: str) -> Shape:
    """The symbol of a two-ended unit, its way in at (0, 0)."""
    shape = shape_named(link.unit.symbol, style)
    if link.unit.form == TRACK:
        return _variable(shape, link)
    if link.backward:
        return shape.turned(2).moved(4, 0) if link.unit.symbol not in _TOP_HEAVY else _flipped(shape)
    return shape


_TOP_HEAVY = ("led", "photo-cell", "electrolytic", "battery")
"""what stands above these stays above when they are turned round"""


def _flipped(shape: Shape) -> Shape:
    return shape.mirrored().moved(4, 0)


def _variable(shape: Shape, link: Link) -> Shape:
    """A track with its wiper joined to one end, or with one lug left open."""
    first, wiper, last = (link.unit.net(pin) for pin in "123")
    if wiper in (first, last):
        ties: tuple[tuple[Point, ...], ...] = (
            ((2, -2), (4, -2), (4, 0)) if wiper == last else ((2, -2), (0, -2), (0, 0)),
        )
        made = replace(shape, ties=ties)
    elif {link.start, link.end} == {first, last}:
        made = shape
    elif last not in (link.start, link.end):
        made = replace(shape, ties=(((2, -2), (5, -2), (5, 0)),))
    else:
        made = replace(shape.moved(1, 0), ties=(((3, -2), (0, -2), (0, 0)),))
    if link.backward:
        made = made.mirrored().moved(end_of(made)[0], 0)
    return made


def _slot(link: Link) -> int:
    widest = max(width_of(name_text(link.unit), "name"), width_of(link.unit.value, "value"))
    length, middle = (5, 2) if link.unit.form == TRACK else (4, 2)
    return length + 2 * max(ceil(widest / 2 + 0.4 - middle), 0)


def _side(link: Link) -> float:
    if link.unit.form == TRACK:
        return 2.3
    if link.unit.symbol in ("led", "photo-cell"):
        return 1.7
    if link.unit.symbol in ("electrolytic", "battery"):
        return 1.35
    return 0.75 if link.unit.symbol in ("resistor", "fuse", "inductor") else 1.15


def _texts(unit: Unit) -> float:
    return max(width_of(name_text(unit), "name"), width_of(unit.value, "value"))
