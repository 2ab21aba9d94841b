"""The middle of the echo chip: supply on top, coder at the left, decoder at the right, everything else
below.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil, floor

from pedalwright.report.drawing.layout.block import RIM, Block, Terminal, draw_further
from pedalwright.report.drawing.layout.naming import name_box
from pedalwright.report.drawing.layout.outline import Node
from pedalwright.report.drawing.layout.pen import Pen
from pedalwright.report.drawing.layout.pieces import draw_hanging, hanging_width
from pedalwright.report.drawing.layout.planner import Planner
from pedalwright.report.drawing.layout.strand import Strand
from pedalwright.report.drawing.layout.trees import draw_tree, tree_width
from pedalwright.report.drawing.sheet import Box, Ink, Point
from pedalwright.report.drawing.symbols.shape import Mark, Shape, line, outline
from pedalwright.report.drawing.units import Unit

LEFT, RIGHT, TOP = ("16", "15", "10", "9"), ("13", "14", "11", "12"), ("1",)
BELOW = ("3", "4", "2", "8", "7", "5", "6")
WORDS = {
    "1": "5 V",
    "2": "ref",
    "3": "agnd",
    "4": "dgnd",
    "5": "clock",
    "6": "time",
    "7": "cc1",
    "8": "cc0",
    "9": "coder out",
    "10": "coder in",
    "11": "decoder in",
    "12": "decoder out",
    "13": "filter in",
    "14": "filter out",
    "15": "filter out",
    "16": "filter in",
}
EXIT = "12"
PITCH, GAP, LEAST = 4, 0.8, 18


@dataclass
class _Chip:
    planner: Planner
    unit: Unit
    nodes: Mapping[str, Node]
    pairs: Mapping[tuple[str, str], Strand]
    style: str

    def __post_init__(self) -> None:
        self.pen = Pen(self.planner.standing)
        self.columns = self._columns()
        self.width = max([LEAST, *(x + 2 for x in self.columns.values())])
        self.left_rows, self.right_rows = self._rows(LEFT), self._rows(RIGHT)
        self.height = max([8, *(y + 2 for y in (*self.left_rows.values(), *self.right_rows.values()))]) + 1

    def _columns(self) -> dict[str, int]:
        """The columns of the pins below, far enough apart for what hangs from them."""
        columns: dict[str, int] = {}
        reach = 0.5
        for pin in (pin for pin in BELOW if pin in self.nodes):
            left, right = self._room(self.nodes[pin])
            x = ceil(reach + max(left, 1.3) + GAP)
            columns[pin] = x
            reach = x + max(right, 1.3)
        return columns

    def _room(self, node: Node) -> tuple[float, float]:
        trees = [*node.downs, *node.ups]
        if not trees and not self._ends(node):
            return 0.5, 0.5
        if not trees:
            box = self.pen.flag_room(node.net, "down")
            return -box.left, box.right
        left, reach = tree_width(self.pen, trees[0], up=False)
        for tree in trees[1:]:
            more = tree_width(self.pen, tree, up=False)
            reach = ceil(reach + more[0] + GAP) + more[1]
        if node.named:
            box = self.pen.flag_room(node.net, "down")
            reach = ceil(reach - box.left + GAP) + box.right
        return left, reach

    def _ends(self, node: Node) -> bool:
        return node.named or (self.planner.is_still(node.net) and not node.downs)

    def _rows(self, pins: Sequence[str]) -> dict[str, int]:
        """The rows of the pins at a side; a pair with parts between is as far apart as these need."""
        rows: dict[str, int] = {}
        y = 2
        for pin in (pin for pin in pins if pin in self.nodes):
            rows[pin] = y
            strand = self._pair(pin)
            y += (
                PITCH * len(strand.links)
                if strand is not None
                else 2
                if pin in LEFT[:1] + RIGHT[:1]
                else PITCH
            )
        return rows

    def _pair(self, pin: str) -> Strand | None:
        return next((strand for pins, strand in self.pairs.items() if pin in pins), None)

    def shape(self) -> Shape:
        """The box with its pins, its upper left corner at (0, 0)."""
        pins: dict[str, Point] = {}
        ink: list[Ink] = [outline((0, 0), (self.width, 0), (self.width, self.height), (0, self.height))]
        marks: list[Mark] = []
        for pin, y in self.left_rows.items():
            pins[pin] = (-1, y)
            marks += [Mark(WORDS[pin], (0.3, y), "start"), Mark(pin, (-0.15, y - 0.5), "end", 0.7)]
        for pin, y in self.right_rows.items():
            pins[pin] = (self.width + 1, y)
            marks += [
                Mark(WORDS[pin], (self.width - 0.3, y), "end"),
                Mark(pin, (self.width + 0.15, y - 0.5), "start", 0.7),
            ]
        for pin, x in self.columns.items():
            pins[pin] = (x, self.height + 1)
            marks += [
                Mark(WORDS[pin], (x, self.height - 0.7)),
                Mark(pin, (x + 0.2, self.height + 0.5), "start", 0.7),
            ]
        for pin in (pin for pin in TOP if pin in self.nodes):
            pins[pin] = (self.width // 2, -1)
            marks += [
                Mark(WORDS[pin], (self.width // 2, 0.7)),
                Mark(pin, (self.width // 2 + 0.2, -0.5), "start", 0.7),
            ]
        body = Box(0, 0, self.width, self.height)
        ink += [
            line(at, (min(max(at[0], 0), self.width), min(max(at[1], 0), self.height)))
            for at in pins.values()
        ]
        return Shape(name="echo-chip", pins=pins, ink=tuple(ink), body=body, marks=tuple(marks))

    def draw(self) -> Shape:
        shape = self.shape()
        pen = self.pen
        pen.put(self.unit, shape)
        middle, y = self.width / 2, self.height / 2
        pen.write(self.unit.part, middle, y - 0.7, "middle", "inside", self.unit.name)
        pen.write(self.unit.value, middle, y + 0.7, "middle", "inside", self.unit.name)
        for pin in TOP:
            if pin in shape.pins and self._ends(self.nodes[pin]):
                pen.flag(self.nodes[pin].net, shape.pins[pin], "up")
        for pin in self.columns:
            self._below(self.nodes[pin], shape.pins[pin])
        self._sides(shape)
        return shape

    def _below(self, node: Node, at: Point) -> None:
        pen, (x, y) = self.pen, at
        reach, column = float(x), x
        trees = [*node.downs, *node.ups]
        for place, tree in enumerate(trees):
            left, right = tree_width(pen, tree, up=False)
            column = x if place == 0 else ceil(reach + left + GAP)
            pen.wire(node.net, at, (column, y), (column, y + 1))
            draw_tree(pen, tree, (column, y + 1), self.style, up=False)
            reach = column + right
        if self._ends(node):
            column = x if not trees else ceil(reach - pen.flag_room(node.net, "down").left + GAP)
            pen.wire(node.net, at, (column, y))
            pen.flag(node.net, (column, y), "down")

    def _sides(self, shape: Shape) -> None:
        """What stands between two pins of a side, and the flags of those pins."""
        pen = self.pen
        joined: dict[str, int] = {}
        for (first, second), strand in self.pairs.items():
            upper, lower = sorted((first, second), key=lambda pin: shape.pins[pin][1])
            (x, y0), y1 = shape.pins[upper], shape.pins[lower][1]
            reach = hanging_width(strand)[1]
            column = x + 1 if x > 0 else x - ceil(reach)
            top = strand.beginning(self.nodes[upper].net)
            pen.wire(self.nodes[upper].net, (x, y0), (column, y0))
            end = draw_hanging(pen, top, (column, y0), self.style)
            pen.wire(self.nodes[lower].net, end, (column, y1), (x, y1))
            joined[upper] = joined[lower] = column
        for pin in (*self.left_rows, *self.right_rows):
            node, (x, y) = self.nodes[pin], shape.pins[pin]
            if pin == EXIT or not self._ends(node):
                continue
            column = joined.get(pin, x)
            pen.flag(node.net, (column, y), "right" if x > 0 else "left")


def core_block(planner: Planner, unit: Unit, style: str) -> Block | None:
    """The chip with everything at its pins; None when parts hang from pins at its sides."""
    nodes, pairs = planner.around(unit)
    name_box(planner, unit, nodes, pairs.values())
    beside = {*LEFT, *RIGHT, *TOP}
    if any(pin in beside and (node.downs or node.ups) for pin, node in nodes.items()):
        return None
    if any(not ({*pins} <= {*LEFT} or {*pins} <= {*RIGHT}) for pins in pairs):
        return None
    chip = _Chip(planner, unit, nodes, pairs, style)
    shape = chip.draw()
    pen = chip.pen
    exit_at = shape.pins[EXIT]
    strand = next((strand for pins, strand in pairs.items() if EXIT in pins), None)
    draw_further(pen, planner.lines, style)
    box = pen.box()
    left, right = floor(box.left - RIM), ceil(box.right + RIM)
    pins = 1 + (1 if strand is not None else 0)
    stop = Terminal(net=nodes[EXIT].net, at=(right, exit_at[1]), pins=pins, inner=exit_at)
    none = Terminal(net="", at=(left, exit_at[1]), pins=0, ended=True)
    return Block(pen=pen, box=replace(box, left=left, right=right), left=none, right=stop, through=False)
