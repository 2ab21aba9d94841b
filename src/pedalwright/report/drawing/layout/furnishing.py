"""A place beside the line for every part that is not on it."""

from collections.abc import Collection, Sequence

from pedalwright.report.drawing.layout.outline import (
    Across,
    Arch,
    Entry,
    Feed,
    Node,
    Outline,
    Step,
    Through,
    Tree,
    Under,
)
from pedalwright.report.drawing.layout.strand import Strand
from pedalwright.report.drawing.layout.wayfinding import Way, WayFinder
from pedalwright.report.drawing.units import AMPLIFIER, TRACK


class Furnisher(WayFinder):
    """Hangs, arches and joins to a line what belongs to it."""

    def sides(self, line: Outline) -> None:
        """A node for every pin of a device that the line does not use."""
        for place, step in enumerate(line.steps):
            if isinstance(step, Through):
                for pin, _, net in step.unit.pins:
                    if pin not in (step.enter, step.leave):
                        line.sides[place, pin] = Node(net)

    def furnish(self, line: Outline) -> None:
        """Everything that can stand beside the line."""
        self._loops(line)
        self._feeds(line)
        nodes = [*line.nodes, *line.sides.values()]
        placed = {node.net for node in nodes}
        self.hang(nodes, placed)
        self._under(line)
        self._arch(line)
        self._enter(line)

    def _loops(self, line: Outline) -> None:
        """Strands from an amplifier's other input back to its output."""
        for (place, pin), side in line.sides.items():
            step = line.steps[place]
            if not isinstance(step, Through) or step.unit.form != AMPLIFIER or self.is_still(side.net):
                continue
            out = step.unit.net(step.leave)
            if side.net in line.nets:
                continue
            back = [item for item in self.strands if {item.start, item.end} == {side.net, out}]
            if back:
                line.loops[place, pin] = [item.beginning(side.net) for item in back]
                self.drop(back)

    def _feeds(self, line: Outline) -> None:
        """Strands from a node before an amplifier to its other input."""
        index = {node.net: place for place, node in enumerate(line.nodes)}
        for (place, pin), side in line.sides.items():
            step = line.steps[place]
            if not isinstance(step, Through) or step.unit.form != AMPLIFIER or self.is_still(side.net):
                continue
            if side.net in index:
                continue
            for strand in list(self.strands):
                if side.net not in (strand.start, strand.end):
                    continue
                far = strand.far(side.net)
                if not self.is_still(far) and index.get(far, len(line.nodes)) <= place:
                    line.feeds.append(Feed(index[far], place, pin, strand.beginning(far)))
                    self.drop([strand])

    def _under(self, line: Outline) -> None:
        """Strands from the bare foot of a knob's track to nodes of the line."""
        index = {node.net: place for place, node in enumerate(line.nodes)}
        for (place, pin), side in line.sides.items():
            step = line.steps[place]
            if not isinstance(step, Through) or step.unit.form != TRACK or not step.leave:
                continue
            if self.is_still(side.net) or side.downs or side.ups or side.net in index:
                continue
            for strand in list(self.strands):
                ends = (strand.start, strand.end)
                if (
                    side.net in ends
                    and strand.far(side.net) in index
                    and strand.far(side.net) not in line.nets[place : place + 1]
                ):
                    line.unders.append(
                        Under(index[strand.far(side.net)], (place, pin), strand.beginning(side.net))
                    )
                    self.drop([strand])

    def hang(self, nodes: Sequence[Node], placed: Collection[str]) -> None:
        """Trees at the nodes: strands to still nets, and strands to places from which only such strands
        lead on.
        """
        seen: set[str] = set()
        for node in nodes:
            if node.net in seen or self.is_still(node.net):
                continue
            seen.add(node.net)
            for tree in self._trees(node.net, placed, frozenset({node.net})):
                (node.ups if self._rises(tree) else node.downs).append(tree)

    def _trees(self, net: str, placed: Collection[str], above: frozenset[str]) -> list[Tree]:
        found = []
        for strand in [item for item in self.strands if net in (item.start, item.end)]:
            if strand not in self.strands:
                continue
            tree = self._tree(strand.beginning(net), placed, above)
            if tree is not None:
                found.append(tree)
        return found

    def _tree(self, strand: Strand, placed: Collection[str], above: frozenset[str]) -> Tree | None:
        if self.is_still(strand.end):
            self.drop([strand])
            return Tree(strand)
        end = strand.end
        if end in placed or end in above or not self._is_fork(end):
            return None
        others = [item for item in self.strands if item is not strand and end in (item.start, item.end)]
        fars = [item.far(end) for item in others]
        if not others or not all(self.is_still(far) for far in fars):
            return None
        self.drop([strand, *others])
        return Tree(strand, [Tree(item.beginning(end)) for item in others])

    def _is_fork(self, net: str) -> bool:
        """True when every unit on the net is a strand still to be placed here."""
        here = {
            link.unit.name
            for item in self.strands
            if net in (item.start, item.end)
            for link in (item.links[0], item.links[-1])
        }
        return all(unit.name in here for unit in self.wiring.on.get(net, ()))

    def _rises(self, tree: Tree) -> bool:
        ends = [limb.end for limb in tree.limbs] or [tree.end]
        return all(self.standing.goes_up(end) for end in ends)

    def _arch(self, line: Outline) -> None:
        """Ways between two nodes of the line, over places of their own."""
        nets = line.nets
        index = {net: place for place, net in enumerate(nets)}
        while (found := self._between(nets)) is not None:
            first, last = sorted((index[found[0][0]], index[found[0][-1]]))
            over = self._sub_line(*found)
            if index[over.nodes[0].net] != first:
                over = _turned(over)
            line.arches.append(Arch(first, last, over))

    def _between(self, nets: list[str]) -> Way | None:
        for net in nets:
            others = {other for other in nets if other != net}
            if not others or self.is_still(net):
                continue
            moving = {other for other in others if not self.is_still(other)}
            found = self.search(net, moving, banned=set()) if moving else None
            if found is not None and found[1]:
                return [net, *found[0]], found[1]
        return None

    def _sub_line(self, nets: list[str], steps: list[Step]) -> Outline:
        line = Outline(nodes=[Node(net) for net in nets], steps=steps)
        self.take(line)
        self.hang(line.nodes[1:-1], set(nets))
        return line

    def _enter(self, line: Outline) -> None:
        """Ways that come to a node of the line from elsewhere in the circuit."""
        for place, node in enumerate(line.nodes):
            if self.is_still(node.net):
                continue
            while (found := self._from_elsewhere(node.net)) is not None:
                nets, steps = found
                way = _turned(Outline(nodes=[Node(net) for net in (node.net, *nets)], steps=steps))
                self.take(way)
                self.hang(way.nodes[:-1], set(way.nets))
                line.entries.append(Entry(place, way))

    def _from_elsewhere(self, net: str) -> Way | None:
        mine = {unit.name for unit in self.units}
        goals = {
            end
            for strand in self.strands
            for end in (strand.start, strand.end)
            if end != net
            and not self.is_still(end)
            and (any(unit.name not in mine for unit in self.wiring.on[end]) or end in self.wiring.alone)
        }
        found = self.search(net, goals, banned=set())
        return found if found is not None and found[1] else None


def _turned(line: Outline) -> Outline:
    """The same line told from its other end (parts only)."""
    line.nodes.reverse()
    line.steps = [
        Across(step.strand.reversed()) if isinstance(step, Across) else step for step in reversed(line.steps)
    ]
    return line
