"""Which stages make the supply and the resting voltages that others share, and the order they are told in."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from pedalwright.circuit.circuit import GROUND
from pedalwright.stages.bench import Bench
from pedalwright.stages.recognise import StageMap, kind_named
from pedalwright.stages.stage import Stage

SHARED_BIAS = frozenset({"bias-divider", "bias-filter"})


def moving_nets(bench: Bench, stage: Stage) -> frozenset[str]:
    """The nets a stage touches that move with a signal."""
    leaves = [leaf for group in stage.branches.values() for branch in group for leaf in branch.leaves()]
    nets = {*stage.inputs, stage.output, *stage.nets.values()}
    nets |= {net for leaf in leaves for net in (leaf.a, leaf.b)}
    return frozenset(net for net in nets if net and net != GROUND and not bench.classes.is_still(net))


@dataclass(frozen=True)
class SupplyOrder:
    """The supply side of one circuit."""

    map: StageMap
    bench: Bench

    @cached_property
    def stages(self) -> tuple[Stage, ...]:
        """Stages of the supply in the order the supply passes them, then those of shared resting voltages."""
        found = [stage for stage in self.map.stages if self._is_supply(stage)]
        return tuple(sorted(found, key=self._supply_place))

    def _is_supply(self, stage: Stage) -> bool:
        group = kind_named(stage.kind).group
        if group == "supply":
            return True
        if stage.output and self.bench.classes.is_still(stage.output):
            return True
        if group == "control" and not moving_nets(self.bench, stage):
            return any(stage.branches.values())
        return stage.kind in SHARED_BIAS and self.bench.classes.is_still(stage.nets.get("at", ""))

    def _supply_place(self, stage: Stage) -> tuple[int, ...]:
        """Each rail's feed and stores together, by the rail's depth; then lamps; then each resting voltage
        with what belongs to it.
        """
        order = kind_named(stage.kind).order
        at = stage.output if stage.output else stage.nets.get("at", "")
        if at and self.bench.classes.is_still(at):
            places = self.bench.view.circuit.nets
            return (2, self._bias_depth.get(at, 0), 0, places.index(at) if at in places else 0, order)
        leaves = [leaf for group in stage.branches.values() for branch in group for leaf in branch.leaves()]
        nets = [*stage.nets.values(), *(net for leaf in leaves for net in (leaf.a, leaf.b))]
        rail = max((self._rail_place(net) for net in nets), default=(0, 0, 0))
        return (int(stage.kind == "indicator"), *rail, order)

    def _rail_place(self, net: str) -> tuple[int, int, int]:
        """The depth of a rail, what sort of feed makes it, and where the text names it first."""
        nets = self.bench.view.circuit.nets
        if net not in self._rail_depth:
            return (0, 0, 0)
        return (self._rail_depth[net], self._feed_order.get(net, 0), nets.index(net) if net in nets else 0)

    @cached_property
    def _feed_order(self) -> Mapping[str, int]:
        """The place in the family of the kind of stage that makes each rail."""
        return {
            stage.nets["to"]: kind_named(stage.kind).order
            for stage in self.map.stages
            if "to" in stage.nets and kind_named(stage.kind).group == "supply"
        }

    @cached_property
    def _bias_depth(self) -> Mapping[str, int]:
        """How many steps each resting voltage lies behind the one that a divider makes from a rail."""
        view, bias = self.bench.view, self.bench.classes.bias
        edges = [(leaf.a, leaf.b) for leaf in view.leaves if leaf.sort == "R" and {leaf.a, leaf.b} <= bias]
        edges += [(end, start) for start, end in edges]
        edges += [(amp.non, amp.out) for amp in view.amplifiers if amp.out in bias and amp.non in bias]
        fed = {
            leaf.other(net) for net in self.bench.classes.rails for leaf in view.on(net) if leaf.sort == "R"
        }
        depth = dict.fromkeys(fed & bias, 0)
        while True:
            more = {far: depth[near] + 1 for near, far in edges if near in depth and far not in depth}
            if not more:
                return depth
            depth |= more

    @cached_property
    def _rail_depth(self) -> Mapping[str, int]:
        """How many feeds lie between a supply and each rail."""
        view = self.bench.view
        depth = {view.joined[supply.net]: 0 for supply in view.circuit.supplies}
        while True:
            more = {
                far: depth[near] + 1
                for _, near, far in self.bench.classes.feeds
                if near in depth and far not in depth
            }
            if not more:
                return depth
            depth |= more
