"""From a stage's units to its picture in words: the lines through it, and a place for every part beside
them.
"""

from dataclasses import dataclass, field

from pedalwright.report.drawing.layout.furnishing import Furnisher
from pedalwright.report.drawing.layout.outline import Node, Outline
from pedalwright.report.drawing.layout.strand import Strand
from pedalwright.report.drawing.units import Unit


class NoPicture(Exception):
    """The stage cannot be planned: it is then drawn part by part."""


@dataclass
class Planner(Furnisher):
    """Plans one stage."""

    lines: list[Outline] = field(default_factory=list)

    def plan(self, start: str | None, goal: str | None) -> list[Outline]:
        """The lines of the picture, the main one first. Every unit is on exactly one of them."""
        self.gather({net for net in (start, goal) if net})
        if start:
            self.lines.append(self._line(start, goal, first=True))
        self._plan_rest()
        return self.lines

    def around(self, unit: Unit) -> tuple[dict[str, Node], dict[tuple[str, str], Strand]]:
        """For a box in the middle of a picture: the node of each of its pins with what hangs there, and the
        strands between two of its pins. What is left over becomes further lines.
        """
        self.gather(set(unit.nets))
        self.devices = [other for other in self.devices if other is not unit]
        nodes = {pin: Node(net) for pin, _, net in unit.pins}
        pairs: dict[tuple[str, str], Strand] = {}
        pin_of = {net: pin for pin, _, net in unit.pins}
        for strand in list(self.strands):
            ends = (pin_of.get(strand.start, ""), pin_of.get(strand.end, ""))
            still = self.is_still(strand.start) or self.is_still(strand.end)
            if all(ends) and ends not in pairs and not still:
                pairs[ends] = strand
                self.drop([strand])
        self.hang(list(nodes.values()), set(unit.nets))
        self._plan_rest()
        return nodes, pairs

    def _plan_rest(self) -> None:
        while self.strands or self.devices:
            before = len(self.strands) + len(self.devices)
            self.lines.append(self._line(self.beginning(), None, first=False))
            if before == len(self.strands) + len(self.devices):
                raise NoPicture("a further line took no part")

    def _line(self, start: str, goal: str | None, *, first: bool) -> Outline:
        nets, steps = self.way(start, goal)
        if not steps and not first:
            nets, steps = self.any_step(start)
        line = Outline(nodes=[Node(net) for net in nets], steps=steps)
        self.take(line)
        self.sides(line)
        self.furnish(line)
        return line
