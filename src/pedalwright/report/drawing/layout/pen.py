"""A drawing in the making: symbols, wires, flags and texts are put down here, then moved as one."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import pairwise

from pedalwright.report.drawing.layout.flags import flag_ink
from pedalwright.report.drawing.metrics import label, shortened, text_width
from pedalwright.report.drawing.sheet import Box, Flag, Label, Placed, Point, Wire
from pedalwright.report.drawing.standing import Standing
from pedalwright.report.drawing.symbols.shape import Shape
from pedalwright.report.drawing.units import Unit

SIZE = 1.1
LONGEST = 18


@dataclass
class Pen:
    """Collects what is drawn. Nothing here knows which stage it belongs to."""

    standing: Standing
    placed: list[Placed] = field(default_factory=list)
    wires: list[Wire] = field(default_factory=list)
    flags: list[Flag] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)

    def wire(self, net: str, *points: Point) -> None:
        """Wires from point to point, each upright or level; pieces of no length are left out."""
        for start, end in pairwise(points):
            if start != end:
                self.wires.append(Wire(net, start, end))

    def put(self, unit: Unit, shape: Shape) -> Placed:
        """A symbol, its small marks and its ties. The texts beside it come from `names`."""
        real = {name: (pin, net) for name, pin, net in unit.pins}
        pins = tuple((real[name][0], at) for name, at in shape.pins.items())
        one = Placed(
            unit=unit.name,
            part=unit.part,
            symbol=shape.name,
            pins=pins,
            ink=shape.ink,
            body=shape.body,
            says=unit.says,
        )
        self.placed.append(one)
        numbers = dict(unit.numbers)
        for mark in shape.marks:
            text = numbers.get(
                mark.text, "" if mark.text in numbers or unit.form == "amplifier" else mark.text
            )
            if text:
                x, y = mark.at
                item = label(text, x, y, anchor=mark.anchor, size=mark.size, kind="mark", owner=unit.name)
                self.labels.append(item)
        for tie in shape.ties:
            at = {place: name for name, place in shape.pins.items()}
            net = next((real[at[point]][1] for point in tie if point in at), "")
            self.wire(net, *tie)
        return one

    def write(self, text: str, x: float, y: float, anchor: str, kind: str, owner: str) -> Label:
        """A text at a place; an empty one is not kept."""
        item = label(shortened(text, LONGEST), x, y, anchor=anchor, size=SIZE, kind=kind, owner=owner)
        if item.text:
            self.labels.append(item)
        return item

    def flag(self, net: str, at: Point, facing: str) -> Box:
        """The symbol or flag of a net, at the end of a wire; gives what it covers."""
        style = self.standing.style(net)
        drawn = flag_ink(style, self.standing.name(net), self.standing.volts.get(net, ""), at, facing, net)
        self.flags.append(
            Flag(net=net, name=self.standing.name(net), style=style, at=at, ink=drawn.ink, box=drawn.box)
        )
        self.labels.extend(drawn.labels)
        return drawn.box

    def flag_room(self, net: str, facing: str) -> Box:
        """What the flag of a net would cover, the wire's end being at (0, 0)."""
        style = self.standing.style(net)
        return flag_ink(
            style, self.standing.name(net), self.standing.volts.get(net, ""), (0, 0), facing, net
        ).box

    def boxes(self) -> Iterator[Box]:
        """What everything put down covers."""
        for one in self.placed:
            yield one.body
        for flag in self.flags:
            yield flag.box
        for item in self.labels:
            yield item.box
        for wire in self.wires:
            (x0, y0), (x1, y1) = sorted((wire.start, wire.end))
            yield Box(x0, min(y0, y1), x1, max(y0, y1))

    def box(self) -> Box:
        """What all of it covers together; an empty pen covers the origin."""
        return union(self.boxes())

    def lowest(self, left: float, right: float) -> float:
        """How far down anything reaches between two columns."""
        return max((box.bottom for box in self.boxes() if box.right > left and box.left < right), default=0.0)

    def highest(self, left: float, right: float) -> float:
        """How far up anything reaches between two columns."""
        return min((box.top for box in self.boxes() if box.right > left and box.left < right), default=0.0)

    def take(self, other: "Pen", dx: int, dy: int) -> None:
        """Everything of another pen, moved."""
        self.placed.extend(one.moved(dx, dy) for one in other.placed)
        self.wires.extend(wire.moved(dx, dy) for wire in other.wires)
        self.flags.extend(flag.moved(dx, dy) for flag in other.flags)
        self.labels.extend(item.moved(dx, dy) for item in other.labels)


def union(boxes: Iterable[Box]) -> Box:
    """The smallest rectangle around all; a point at the origin for none."""
    whole: Box | None = None
    for box in boxes:
        whole = box if whole is None else whole.around(box)
    return whole or Box(0, 0, 0, 0)


def width_of(text: str, kind: str) -> float:
    """How wide a designator or value is as it will be written."""
    return text_width(shortened(text, LONGEST), SIZE, bold=kind == "name")
