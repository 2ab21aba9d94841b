"""A line of a stage, drawn from left to right: nodes with what hangs from them, and the steps between."""

from dataclasses import dataclass, field
from math import ceil

from pedalwright.report.drawing.layout.outline import Across, Node, Outline, Step, Through
from pedalwright.report.drawing.layout.pen import Pen
from pedalwright.report.drawing.layout.pieces import draw_level, level_length
from pedalwright.report.drawing.layout.trees import draw_tree, tree_width
from pedalwright.report.drawing.sheet import Point
from pedalwright.report.drawing.units import TRACK

GAP = 0.7
LEAD = 2
"""steps between a line and the first part that hangs from it: texts of the line find room there"""


@dataclass(slots=True)
class Track:
    """How far the drawing has come: the line itself, what is under it, what is over it."""

    x: int
    y: int
    floor: float
    ceiling: float


@dataclass
class LineDrawing:
    """One line in the making. `at` are the places of the nodes, where arches and entries may join."""

    outline: Outline
    pen: Pen
    style: str
    track: Track = field(default_factory=lambda: Track(0, 0, 0.0, 0.0))
    at: list[Point] = field(default_factory=list)
    joins: dict[int, int] = field(default_factory=dict)
    """node -> column where entries come up to it"""
    feet: dict[tuple[int, str], Point] = field(default_factory=dict)
    """(step, pin) -> the place of a device's lower pin that a line from below comes up to"""
    begin: Point = (0, 0)
    end: Point = (0, 0)
    clear: int = 0
    """column from which texts of the last device are out of the way"""


def draw_line(outline: Outline, pen: Pen, style: str) -> LineDrawing:
    """The line on a pen of its own, its first node at (0, 0)."""
    from pedalwright.report.drawing.layout.arches import draw_arches, room_needed
    from pedalwright.report.drawing.layout.entries import draw_entries
    from pedalwright.report.drawing.layout.through import draw_through
    from pedalwright.report.drawing.layout.unders import draw_unders

    drawing = LineDrawing(outline, pen, style)
    if outline.left_flag:
        room = pen.flag(outline.nodes[0].net, (0, 0), "left")
        drawing.track.x = max(1, ceil(room.right + 0.2))
        drawing.track.floor = drawing.track.ceiling = room.right
        pen.wire(outline.nodes[0].net, (0, 0), (drawing.track.x, 0))
    for place, node in enumerate(outline.nodes):
        _stand(drawing, place, node, room_needed(drawing, place))
        step: Step | None = outline.steps[place] if place < len(outline.steps) else None
        if isinstance(step, Across):
            _across(drawing, step)
        elif isinstance(step, Through):
            draw_through(drawing, place, step)
    drawing.end = (drawing.track.x, drawing.track.y)
    draw_arches(drawing)
    draw_unders(drawing)
    draw_entries(drawing)
    if outline.right_flag:
        _flag_right(drawing)
    return drawing


def _flag_right(drawing: LineDrawing) -> None:
    """The flag at the end of the line, clear of the texts of the last device."""
    pen, (x, y), net = drawing.pen, drawing.end, drawing.outline.nodes[-1].net
    over = -pen.flag_room(net, "right").left
    column = max(x + max(0, ceil(over)), ceil(drawing.clear + 0.2 + over) if drawing.clear else 0)
    pen.wire(net, (x, y), (column, y))
    pen.flag(net, (column, y), "right")
    drawing.end = (column, y)


def _across(drawing: LineDrawing, step: Across) -> None:
    track = drawing.track
    length = level_length(step.strand)
    if any(
        link.unit.form == TRACK or link.unit.symbol in ("led", "photo-cell") for link in step.strand.links
    ):
        track.ceiling = max(track.ceiling, track.x + length - 0.5)
    track.x, track.y = draw_level(drawing.pen, step.strand, (track.x, track.y), drawing.style, room=length)


def _stand(drawing: LineDrawing, place: int, node: Node, least: int) -> None:
    """A node with its column for arches, its trees, its flag and its column for entries."""
    track, pen, outline = drawing.track, drawing.pen, drawing.outline
    begin, y = track.x, track.y
    base = _base(drawing, place, node, max(begin, least))
    drawing.at.append((base, y))
    last = max(_hang(drawing, node, base, up=False), _hang(drawing, node, base, up=True))
    if node.named:
        last = max(last, _name(drawing, node, base))
    if any(place == item.node for item in (*outline.joining, *outline.unders)):
        x = max(last, ceil(track.floor + 0.5), *_reached(drawing, place))
        drawing.joins[place], last = x, x
        track.floor = x + 0.5
    if place < len(outline.steps):
        last = max(last, drawing.clear)
        drawing.clear = 0
    if place == 0 and not outline.left_flag:
        begin = last if _is_bare(drawing, node) else base
        drawing.begin = (begin, y)
    pen.wire(node.net, (begin, y), (last, y))
    track.x = last


def _is_bare(drawing: LineDrawing, node: Node) -> bool:
    """True for a first node that nothing joins but lines from below."""
    arches = any(arch.first == 0 for arch in drawing.outline.arches)
    return not (node.downs or node.ups or node.named or arches)


def _base(drawing: LineDrawing, place: int, node: Node, least: int) -> int:
    """The column of a node: arches join there, and the first tree below and above hang from it."""
    track, pen = drawing.track, drawing.pen
    base = least
    if node.downs:
        base = max(base, ceil(track.floor + tree_width(pen, node.downs[0], up=False)[0] + GAP))
    if node.ups:
        base = max(base, ceil(track.ceiling + tree_width(pen, node.ups[0], up=True)[0] + GAP))
    if any(place in (arch.first, arch.last) for arch in drawing.outline.arches):
        base = max(base, ceil(track.ceiling + 0.3))
        track.ceiling = base + 0.4
    return base


def _hang(drawing: LineDrawing, node: Node, base: int, *, up: bool) -> int:
    """The trees on one side of the line; gives the column of the last."""
    track, pen, y = drawing.track, drawing.pen, drawing.track.y
    last = base
    for tree in node.ups if up else node.downs:
        left, right = tree_width(pen, tree, up=up)
        x = max(base, ceil((track.ceiling if up else track.floor) + left + GAP))
        foot = (x, y - LEAD if up else y + LEAD)
        pen.wire(node.net, (x, y), foot)
        draw_tree(pen, tree, foot, drawing.style, up=up)
        if up:
            track.ceiling = x + right
        else:
            track.floor = x + right
        last = max(last, x)
    return last


def _reached(drawing: LineDrawing, place: int) -> list[int]:
    """Columns that the lines from below need between a device's foot and this node."""
    feet = drawing.feet
    lines = [under for under in drawing.outline.unders if under.node == place and under.foot in feet]
    return [0, *(feet[under.foot][0] + level_length(under.strand) for under in lines)]


def _name(drawing: LineDrawing, node: Node, base: int) -> int:
    track = drawing.track
    half = drawing.pen.flag_room(node.net, "up").right
    x = max(base, ceil(track.ceiling + half + GAP / 2))
    drawing.pen.wire(node.net, (x, track.y), (x, track.y - LEAD))
    drawing.pen.flag(node.net, (x, track.y - LEAD), "up")
    track.ceiling = x + half
    return x
