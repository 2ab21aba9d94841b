"""The parts that no amplifier and no supply has taken: what lies between the stages, and how it hangs
together.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from pedalwright.stages.branch import Leaf
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.flow import Flow
from pedalwright.stages.stage import Role

OPEN_FAMILIES = frozenset({"resistor", "capacitor", "inductor", "diode", "knob"})
"""a net with pins of these families alone (and switch contacts) has nothing on it that drives or listens"""
CELL_PINS = ("r1", "r2")


@dataclass(frozen=True)
class Interstage:
    """Free two-terminal parts with at least one end on a moving net."""

    claimed: Claimed

    @cached_property
    def flow(self) -> Flow:
        """Directions of the signal."""
        return self.claimed.bench.flow

    @cached_property
    def leaves(self) -> tuple[Leaf, ...]:
        """Free parts that a signal can reach."""
        return tuple(
            leaf
            for leaf in self.claimed.view.leaves
            if self.claimed.free(leaf.ref) and not (self.still(leaf.a) and self.still(leaf.b))
        )

    @cached_property
    def at(self) -> Mapping[str, tuple[Leaf, ...]]:
        """Free parts on each moving net."""
        found: dict[str, list[Leaf]] = {}
        for leaf in self.leaves:
            for net in (leaf.a, leaf.b):
                if not self.still(net):
                    found.setdefault(net, []).append(leaf)
        return {net: tuple(leaves) for net, leaves in found.items()}

    def still(self, net: str) -> bool:
        """True for ground, rails and bias nets."""
        return self.claimed.classes.is_still(net)

    def on(self, net: str) -> tuple[Leaf, ...]:
        """The free parts on a moving net."""
        return self.at.get(net, ())

    def to_still(self, net: str, sort: str = "RCLD") -> tuple[Leaf, ...]:
        """The free parts from a moving net straight to a steady one."""
        return tuple(leaf for leaf in self.on(net) if self.still(leaf.other(net)) and leaf.sort in sort)

    def arriving(self, net: str, sort: str = "RCLD") -> tuple[Leaf, ...]:
        """The free parts that bring a signal to a net."""
        return tuple(leaf for leaf in self.on(net) if leaf.sort in sort and self.flow.brings_to(leaf, net))

    def is_inside(self, net: str, names: Collection[str]) -> bool:
        """True when a plain net touches nothing but the two-terminal things of these names."""
        return self.is_plain(net) and all(leaf.name in names for leaf in self.claimed.view.on(net))

    def is_plain(self, net: str) -> bool:
        """A moving net with nothing but free two-terminal parts (and switch contacts) on it."""
        if self.still(net) or net in self.claimed.view.ports:
            return False
        view = self.claimed.view
        return all(
            view.family[pin.part.ref] == "switch"
            or (self.claimed.free(pin.part.ref) and _is_open(view.family[pin.part.ref], pin.pin))
            for pin in view.pins(net)
        )

    def is_loose(self, net: str) -> bool:
        """Nothing but one part and open contacts is on the net."""
        view = self.claimed.view
        contacts = [pin for pin in view.pins(net) if view.family[pin.part.ref] == "switch"]
        return bool(contacts) and len(view.pins(net)) == len(contacts) + 1 and net not in view.ports

    def pendant(self, net: str, first: Leaf) -> tuple[Leaf, ...] | None:
        """What hangs on `net` by a part and leads to steady nets (or nowhere) alone; None when it leads to
        more.
        """
        found = {first.name: first}
        pending = [first.other(net)] if not self.still(first.other(net)) else []
        seen = {net}
        while pending:
            here = pending.pop()
            if here in seen:
                continue
            seen.add(here)
            if not self.is_plain(here):
                return None
            for leaf in self.on(here):
                far = leaf.other(here)
                found[leaf.name] = leaf
                if not self.still(far):
                    pending.append(far)
        return tuple(found.values())

    def blocks(self) -> tuple[tuple[Leaf, ...], ...]:
        """Groups of free parts that lie on common rings of moving nets (biconnected components of two parts
        or more).
        """
        moving = [leaf for leaf in self.leaves if not self.still(leaf.a) and not self.still(leaf.b)]
        return tuple(tuple(block) for block in _rings(moving) if len(block) > 1)

    def role(self, leaf: Leaf, words: Mapping[str, str]) -> Role:
        """The word of a part: keys ``R C L D`` and ``knob``."""
        family = self.claimed.view.family[leaf.ref]
        return Role(leaf.ref, words["knob" if family == "knob" else leaf.sort])


def _is_open(family: str, pin: str) -> bool:
    return family in OPEN_FAMILIES or (family == "optocoupler" and pin in CELL_PINS)


def one_each(roles: Iterable[Role]) -> tuple[Role, ...]:
    """The first role of every part."""
    found: dict[str, Role] = {}
    for role in roles:
        found.setdefault(role.ref, role)
    return tuple(found.values())


@dataclass
class _Visit:
    net: str
    came_by: Leaf | None
    left: list[Leaf]


def _rings(leaves: Iterable[Leaf]) -> Iterable[list[Leaf]]:
    """Biconnected components by depth-first search with a stack of edges (Hopcroft and Tarjan 1973), no
    recursion.
    """
    at: dict[str, list[Leaf]] = {}
    for leaf in leaves:
        at.setdefault(leaf.a, []).append(leaf)
        at.setdefault(leaf.b, []).append(leaf)
    depth: dict[str, int] = {}
    low: dict[str, int] = {}
    for root in at:
        if root not in depth:
            yield from _rings_from(root, at, depth, low)


def _rings_from(
    root: str, at: Mapping[str, list[Leaf]], depth: dict[str, int], low: dict[str, int]
) -> Iterable[list[Leaf]]:
    edges: list[Leaf] = []
    depth[root] = low[root] = 0
    visits = [_Visit(root, None, list(at[root]))]
    while visits:
        visit = visits[-1]
        if visit.left:
            _step(visit, visits, edges, at, depth, low)
            continue
        visits.pop()
        if visit.came_by is None:
            continue
        above = visits[-1].net
        low[above] = min(low[above], low[visit.net])
        if low[visit.net] >= depth[above]:
            ring: list[Leaf] = []
            while True:
                ring.append(edges.pop())
                if ring[-1] is visit.came_by:
                    break
            yield ring


def _step(
    visit: _Visit,
    visits: list[_Visit],
    edges: list[Leaf],
    at: Mapping[str, list[Leaf]],
    depth: dict[str, int],
    low: dict[str, int],
) -> None:
    leaf = visit.left.pop()
    if leaf is visit.came_by:
        return
    far = leaf.other(visit.net)
    if far not in depth:
        edges.append(leaf)
        depth[far] = low[far] = len(visits)
        visits.append(_Visit(far, leaf, list(at[far])))
    elif depth[far] < depth[visit.net]:
        edges.append(leaf)
        low[visit.net] = min(low[visit.net], depth[far])
