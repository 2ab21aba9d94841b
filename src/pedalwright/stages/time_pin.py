"""What hangs on an echo chip's time pin: which parts belong to it, and how much resistance they make."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.part import Part
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.passive import Reduced
from pedalwright.stages.view import Transistor, View

MOST_PATHS = 2000
"""where the search for ways to ground gives up: no pedal has so many"""


@dataclass(frozen=True)
class TimePin:
    """The neighbourhood of one chip's time pin, gathered from the pin outward."""

    claimed: Claimed
    part: Part

    @property
    def view(self) -> View:
        """The circuit."""
        return self.claimed.view

    @cached_property
    def net(self) -> str:
        """The net on the pin."""
        return self.view.net(self.part, "6")

    @cached_property
    def starters(self) -> tuple[Transistor, ...]:
        """Transistors from the pin's network to ground whose base only steady nets act on: they help at
        switch-on.
        """
        return tuple(
            item
            for item in self.view.transistors
            if self.claimed.free(item.ref) and item.bottom == GROUND and self._is_left_alone(item.control)
        )

    def _is_left_alone(self, base: str) -> bool:
        leaves = self.view.on(base)
        still = all(self.claimed.classes.is_still(leaf.other(base)) for leaf in leaves)
        return bool(leaves) and still and any(leaf.sort == "C" for leaf in leaves)

    @cached_property
    def _listeners(self) -> frozenset[str]:
        """Nets of others that a part may lead to; what leads there is not the time pin's own."""
        view, flow = self.view, self.claimed.bench.flow
        found = {amp.inv for amp in view.amplifiers} | {amp.non for amp in view.amplifiers}
        found |= {item.control for item in view.transistors} | {view.input_net, view.output_net}
        found |= {view.net(part, "6") for part in view.parts_of("echo-chip")}
        return frozenset(found) - flow.sources - self.claimed.classes.still - {self.net, ""}

    @cached_property
    def _driven(self) -> frozenset[str]:
        return self.claimed.bench.flow.sources - {self.net} - {item.top for item in self.starters}

    @cached_property
    def _walls(self) -> frozenset[str]:
        """Nets the network ends on: steady and driven ones, and where a start-up transistor pulls
        to ground.
        """
        starts = {item.top for item in self.starters} - {self.net}
        return self._driven | self.claimed.classes.still | starts

    @cached_property
    def leaves(self) -> tuple[Leaf, ...]:
        """Every part between the pin and steady or driven nets; nets shared with others are a boundary."""
        shared: set[str] = set()
        while True:
            leaves, more = self._gather(shared)
            if not more:
                return leaves
            shared |= more

    def _gather(self, shared: set[str]) -> tuple[tuple[Leaf, ...], set[str]]:
        found: dict[str, Leaf] = {}
        seen, pending, more = {self.net}, [self.net], set()
        while pending:
            here = pending.pop()
            for leaf in self.claimed.free_on(here):
                far = leaf.other(here)
                if far in self._listeners:
                    more.add(here)
                    continue
                found[leaf.name] = leaf
                ends = far in seen or far in self._walls or far in shared
                if not ends:
                    seen.add(far)
                    pending.append(far)
        return tuple(found.values()), more - {self.net}

    @cached_property
    def inputs(self) -> tuple[str, ...]:
        """Nets from which something else moves the pin."""
        nets = dict.fromkeys(net for leaf in self.leaves for net in (leaf.a, leaf.b))
        inner = {self.net, *(item.top for item in self.starters)}
        reached = self._inner | inner
        return tuple(net for net in nets if net not in reached and not self.claimed.classes.is_still(net))

    @cached_property
    def _inner(self) -> frozenset[str]:
        count: dict[str, int] = {}
        for leaf in self.leaves:
            for net in (leaf.a, leaf.b):
                count[net] = count.get(net, 0) + 1
        return frozenset(
            net
            for net in count
            if net not in self._driven and net not in self._walls and len(self.view.on(net)) == count[net]
        )

    @cached_property
    def inner(self) -> tuple[str, ...]:
        """Moving nets with nothing else on them."""
        return tuple(sorted(self._inner - {self.net}, key=self.view.circuit.nets.index))

    @cached_property
    def depth_knobs(self) -> frozenset[str]:
        """Knobs with an end that something drives, straight or through parts in a row."""
        return frozenset(leaf.ref for leaf in self.leaves if leaf.variable and self._is_fed(leaf))

    def _is_fed(self, half: Leaf) -> bool:
        part = self.view.circuit.by_ref[half.ref]
        if self.view.family[half.ref] != "knob":
            return False
        wiper = self.view.knob_nets(part)[1]
        for end in (net for net in self.view.knob_nets(part) if net != wiper):
            if end in self.inputs or any(
                leaf.other(end) in self.inputs for leaf in self.view.on(end) if leaf.ref != half.ref
            ):
                return True
        return False

    @cached_property
    def timing(self) -> tuple[Leaf, ...]:
        """The resistances that alone lead from the pin to ground: they set the delay at rest."""
        own = [leaf for leaf in self.leaves if leaf.sort == "R" and leaf.ref not in self.depth_knobs]
        goals = frozenset({GROUND, *(item.top for item in self.starters)} - {self.net})
        names = set(_on_paths(own, self.net, goals))
        return tuple(leaf for leaf in own if leaf.name in names)


def _on_paths(leaves: list[Leaf], start: str, goals: frozenset[str]) -> Iterable[str]:
    """Names of the leaves on some way from start to a goal that meets no net twice."""
    tried = 0
    pending: list[tuple[str, tuple[Leaf, ...], frozenset[str]]] = [(start, (), frozenset({start}))]
    while pending and tried < MOST_PATHS:
        tried += 1
        here, way, seen = pending.pop()
        for leaf in leaves:
            if here not in (leaf.a, leaf.b):
                continue
            far = leaf.other(here)
            if far in goals:
                yield from (link.name for link in (*way, leaf))
            elif far not in seen:
                pending.append((far, (*way, leaf), seen | {far}))


def ohms_to_ground(view: View, bench: Bench, names: frozenset[str], net: str) -> float | None:
    """Resistance from a net to ground through the named resistances of a view; None when none leads there.

    `bench` says which nets stand still; `view` may show its knobs in other positions.
    """
    leaves = [leaf for leaf in view.leaves if leaf.name in names and leaf.sort == "R"]
    if not leaves:
        return None
    reduced = Reduced.of(bench, leaves, (), net)
    if not any(GROUND in (a, b) for _, a, b in reduced.parts):
        return None
    return float(np.real(reduced.output_ohms(np.zeros(1, dtype=complex))[0]))
