"""From a transistor outward: the islands of parts that end at its stage's nets, its base or steady nets."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from pedalwright.stages.branch import Leaf
from pedalwright.stages.nets import NetClasses
from pedalwright.stages.transistor_cluster import Cluster
from pedalwright.stages.view import View

LONGEST_TAP = 3
"""how many resistors a tapped load may have"""


@dataclass
class Gathering:
    """The working state: nets known to be the stage's own, and the parts found with the ends of their
    islands.
    """

    view: View
    classes: NetClasses
    cluster: Cluster
    walls: frozenset[str]
    steps: frozenset[str]
    own: dict[str, None]
    """an ordered set: the order of topology, not of names"""
    found: dict[str, tuple[Leaf, frozenset[str]]] = field(default_factory=dict)
    inner: set[str] = field(default_factory=set)

    def still(self, net: str) -> bool:
        """True for ground, rails and bias nets."""
        return self.classes.is_still(net)

    def island(self, start: str, first: Leaf) -> tuple[dict[str, Leaf], set[str], set[str]]:
        """From one part outward: the parts of its island, its nets, and the moving nets where it ends."""
        leaves = {first.name: first}
        inside: set[str] = set()
        ends = {start}
        pending = [first.other(start)]
        while pending:
            net = pending.pop()
            if self.still(net) or net in inside:
                continue
            if net in self.own or net in self.walls or net == self.cluster.control:
                ends.add(net)
                continue
            inside.add(net)
            for leaf in self.view.on(net):
                leaves[leaf.name] = leaf
                pending.append(leaf.other(net))
        return leaves, inside, ends

    def close(self) -> None:
        """Find every island that ends at the stage's own nets, its base, or steady nets alone."""
        self.found.clear()
        self.inner.clear()
        home = {*self.own, self.cluster.control}
        for net in tuple(self.own):
            for leaf in self.view.on(net):
                if leaf.name in self.found:
                    continue
                leaves, inside, ends = self.island(net, leaf)
                if ends <= home:
                    self.take(leaves, inside, ends)

    def take(self, leaves: Mapping[str, Leaf], inside: set[str], ends: set[str]) -> None:
        """Make an island the stage's own."""
        for name, item in leaves.items():
            self.found[name] = (item, frozenset(ends))
        self.inner |= inside

    def is_fed(self, net: str) -> bool:
        """A direct current reaches the net through the stage's own resistors from a steady net."""
        return self.still(net) or any(
            self.still(leaf.other(net)) or bool(self.way(leaf.other(net), {net}))
            for leaf in self.view.on(net)
            if leaf.sort in "RL" and leaf.name in self.found
        )

    def way(self, net: str, seen: set[str]) -> tuple[str, ...]:
        """The shortest string of resistors from a net to a steady one past no wall, as nets."""
        ways: list[tuple[tuple[str, ...], str]] = [((net,), net)]
        gone = set(seen) | {net}
        while ways:
            path, here = ways.pop(0)
            if here in self.walls or here == self.cluster.control or len(path) >= LONGEST_TAP:
                continue
            for leaf in self.view.on(here):
                far = leaf.other(here)
                if leaf.sort in "RL" and self.still(far):
                    return path
                if leaf.sort in "RL" and far not in gone:
                    gone.add(far)
                    ways.append(((*path, far), far))
        return ()

    def tap(self, net: str) -> tuple[str, ...]:
        """The nets of a load that is tapped between the transistor and the steady net, if it is one."""
        ways = [
            self.way(leaf.other(net), {net})
            for leaf in self.view.on(net)
            if leaf.sort in "RL" and leaf.other(net) not in self.walls and leaf.other(net) not in self.own
        ]
        return min((way for way in ways if way), key=len, default=())
