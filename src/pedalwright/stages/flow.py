"""Which way a signal goes through parts that have no direction of their own.

Signals start on driven nets (the input jack, outputs of amplifiers and of the echo chip, collectors and
emitters) and end on nets that something listens to (inputs of amplifier stages, bases, gates, the output
jack). Between them the direction is that of an imagined current: driven nets are held at one, listening nets
take current, every part conducts alike. No name and no order in the text enters.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pedalwright.stages.branch import Leaf
from pedalwright.stages.nets import NetClasses
from pedalwright.stages.network import AmplifierNetwork, acts_as_resistor
from pedalwright.stages.view import View

LEAK = 1e-3
"""what every net loses in the imagined current, against a part's one: gives dead ends a direction as well"""
LISTENING = 1.0
"""what a listening net takes"""
LEVEL_STEP = 1e-9
"""levels closer than this are the same"""


@dataclass(frozen=True)
class Flow:
    """Directions of the signal in one circuit; `networks` are those of every amplifier section."""

    view: View
    classes: NetClasses
    networks: Mapping[str, AmplifierNetwork]

    @cached_property
    def sources(self) -> frozenset[str]:
        """Driven nets that move: whatever is on them beside the driver does not change their signal's
        origin.
        """
        return self._drivers | self._entries

    @cached_property
    def _drivers(self) -> frozenset[str]:
        found = {self.view.input_net, *self.view.entries} | {amp.out for amp in self.view.amplifiers}
        for transistor in self.view.transistors:
            if not acts_as_resistor(self.view, self.classes, transistor.ref):
                found |= {transistor.top, transistor.bottom}
        return self._moving(found)

    @cached_property
    def _entries(self) -> frozenset[str]:
        """Tips of further jacks that no driven net reaches over parts: signals come in there."""
        stops = {net for amp in self.view.amplifiers for net in (amp.non, amp.inv)} | self._drivers
        stops |= {item.control for item in self.view.transistors}
        return frozenset(tip for tip in self.jacks - self._drivers if not self._meets(tip, stops))

    def _meets(self, start: str, stops: set[str]) -> bool:
        """True when parts lead from a net to a driven one without passing anything that listens."""
        if start == self.view.output_net:
            return True
        seen, pending = {start}, [start]
        while pending:
            for leaf in self.view.on(here := pending.pop()):
                far = leaf.other(here)
                if far in self._drivers:
                    return True
                if far not in seen and far not in stops and not self.classes.is_still(far):
                    seen.add(far)
                    pending.append(far)
        return False

    @cached_property
    def sinks(self) -> frozenset[str]:
        """Nets something listens to and nothing drives."""
        found = {self.view.output_net, *self.view.exits}
        found |= {transistor.control for transistor in self.view.transistors}
        for network in self.networks.values():
            found |= {network.amplifier.non, network.amplifier.inv, *network.inputs}
        for part in self.view.parts_of("echo-chip"):
            found.add(self.view.net(part, "6"))
        return self._moving(found | self.jacks) - self.sources

    @cached_property
    def jacks(self) -> frozenset[str]:
        """Moving nets that leave the pedal: input, output and the tips of other jacks."""
        tips = {self.view.net(part, "tip") for part in self.view.parts_of("jack")}
        ends = {self.view.input_net, self.view.output_net, *self.view.entries, *self.view.exits}
        return self._moving(tips | ends)

    @cached_property
    def controls(self) -> frozenset[str]:
        """Moving nets on an amplifier's non-inverting input, a base or a gate: they need a resting
        voltage.
        """
        found = {transistor.control for transistor in self.view.transistors}
        found |= {amp.non for amp in self.view.amplifiers}
        return self._moving(found) - self.sources

    @cached_property
    def resting(self) -> frozenset[str]:
        """Nets that need a resting voltage: the controls, and nets with nothing but a stopper before one."""
        found = set(self.controls)
        for net in self.controls:
            leaves = self.view.on(net)
            resistors = [leaf for leaf in leaves if leaf.sort == "R"]
            plain = all(leaf.sort in "RC" and not leaf.variable for leaf in leaves)
            if len(resistors) == 1 and plain:
                found.add(resistors[0].other(net))
        return self._moving(found) - self.sources - self.jacks

    def _moving(self, nets: Iterable[str]) -> frozenset[str]:
        return frozenset(net for net in nets if net and not self.classes.is_still(net))

    @cached_property
    def levels(self) -> Mapping[str, float]:
        """The imagined potential of every moving net, one at a driven net, less and less towards a listening
        one.
        """
        nets = [net for net in dict.fromkeys(self.view.joined.values()) if not self.classes.is_still(net)]
        fixed = dict.fromkeys(self.sources, 1.0)
        free = [net for net in nets if net not in fixed]
        row = {net: place for place, net in enumerate(free)}
        losses = [LISTENING if net in self.sinks else LEAK for net in free]
        matrix, right = np.diag(np.asarray(losses, dtype=float)), np.zeros(len(free))
        for leaf in self.view.leaves:
            for here, far in ((leaf.a, leaf.b), (leaf.b, leaf.a)):
                if here not in row or self.classes.is_still(far):
                    continue
                matrix[row[here], row[here]] += 1.0
                if far in row:
                    matrix[row[here], row[far]] -= 1.0
                else:
                    right[row[here]] += fixed.get(far, 0.0)
        solved = np.linalg.solve(matrix, right) if free else right
        return {**fixed, **{net: float(solved[place]) for net, place in row.items()}}

    def upstream_end(self, leaf: Leaf) -> str | None:
        """The end of a part that the signal comes from; None when the part carries none from end to end."""
        if self.classes.is_still(leaf.a) or self.classes.is_still(leaf.b):
            return None
        difference = self.levels[leaf.a] - self.levels[leaf.b]
        if abs(difference) < LEVEL_STEP:
            return None
        return leaf.a if difference > 0 else leaf.b

    def is_fed_dc(self, net: str, *, without: frozenset[str] = frozenset()) -> bool:
        """True when resistances lead from a driven net (not a jack) to a net over moving nets alone.

        An amplifier's own inverting input does not count: it stands where the non-inverting one puts it.
        """
        drivers = self.sources - self.jacks
        drivers -= {amp.out for amp in self.view.amplifiers if amp.non == net != amp.inv}
        seen, pending = {net}, [net]
        while pending:
            here = pending.pop()
            for leaf in self.view.on(here):
                far = leaf.other(here)
                if leaf.sort not in "RL" or leaf.ref in without or far in seen or self.classes.is_still(far):
                    continue
                if far in drivers:
                    return True
                seen.add(far)
                pending.append(far)
        return False

    def origins(self, net: str) -> frozenset[str]:
        """The driven nets that parts lead back to from a net, past nothing that listens or stands still."""
        found, seen, pending = set(), {net}, [net]
        while pending:
            here = pending.pop()
            if here in self.sources:
                found.add(here)
                continue
            if here != net and here in self.sinks:
                continue
            onward = {leaf.other(here) for leaf in self.view.on(here)} - seen
            onward = {far for far in onward if not self.classes.is_still(far)}
            seen |= onward
            pending.extend(onward)
        return frozenset(found)

    def brings_to(self, leaf: Leaf, net: str) -> bool:
        """True when the part brings a signal to one of its ends."""
        upstream = self.upstream_end(leaf)
        return upstream is not None and upstream != net

    def reaches(
        self, start: str, *, without: frozenset[str] = frozenset()
    ) -> tuple[frozenset[str], frozenset[str]]:
        """Nets a signal on `start` gets to, and those among them it gets to after passing an echo chip's
        memory.

        Parts in `without` are taken out. Passive parts are passed either way, but nothing flows back into a
        driven net.
        """
        seen: set[tuple[str, bool]] = {(start, False)}
        pending = [(start, False)]
        while pending:
            net, delayed = pending.pop()
            for state in self._onward(net, delayed, without):
                if state not in seen:
                    seen.add(state)
                    pending.append(state)
        return frozenset(net for net, _ in seen), frozenset(net for net, delayed in seen if delayed)

    def _onward(self, net: str, delayed: bool, without: frozenset[str]) -> Iterable[tuple[str, bool]]:
        if net not in self._held:
            for leaf in self.view.on(net):
                far = leaf.other(net)
                if leaf.ref not in without and not self.classes.is_still(far) and far not in self.sources:
                    yield far, delayed
        for far, through_memory in self._driven_from.get(net, ()):
            if not self.classes.is_still(far):
                yield far, delayed or through_memory

    @cached_property
    def _held(self) -> frozenset[str]:
        """Inverting inputs that feedback holds still: a signal goes on from there through the amplifier
        alone.
        """
        return frozenset(
            network.amplifier.inv
            for network in self.networks.values()
            if network.has_negative_feedback and network.non_still
        )

    @cached_property
    def _driven_from(self) -> Mapping[str, tuple[tuple[str, bool], ...]]:
        """What each listening net drives: outputs, and whether an echo chip's memory lies between."""
        found: dict[str, list[tuple[str, bool]]] = {}
        for start, end, through_memory in (*self._through_amplifiers(), *self._through_transistors()):
            if start != end:
                found.setdefault(start, []).append((end, through_memory))
        return {net: tuple(ends) for net, ends in found.items()}

    def _through_amplifiers(self) -> Iterable[tuple[str, str, bool]]:
        for amp in self.view.amplifiers:
            if amp.role not in ("coder", "decoder"):
                yield amp.inv, amp.out, False
                yield amp.non, amp.out, False
        for part in self.view.parts_of("echo-chip"):
            yield self.view.net(part, "15"), self.view.net(part, "12"), True

    def _through_transistors(self) -> Iterable[tuple[str, str, bool]]:
        for transistor in self.view.transistors:
            if not acts_as_resistor(self.view, self.classes, transistor.ref):
                yield transistor.control, transistor.top, False
                yield transistor.control, transistor.bottom, False
