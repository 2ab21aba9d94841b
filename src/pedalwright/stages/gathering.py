"""Which parts belong to an amplifier's own network: the nets of its loops, and what hangs on them.

A net is *in the loop* when two ways lead from it, with nothing in common, to two different pins of the
amplifier. What hangs on such a net is followed to the first fork; a dead end (a network that leads to
steady nets only) belongs wholly to the amplifier. The answer depends on the shape alone, never on the order
of the text.
"""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from functools import cached_property

from pedalwright.circuit.circuit import GROUND
from pedalwright.stages.branch import Leaf
from pedalwright.stages.edges import Edge
from pedalwright.stages.view import Amplifier, View


@dataclass(frozen=True, slots=True)
class Gathered:
    """The raw edges of a network, its inner nets, and the nets where it meets the rest of the circuit."""

    edges: tuple[Edge, ...]
    inner: tuple[str, ...]
    inputs: tuple[str, ...]
    own: tuple[str, ...]
    """the amplifier's inputs that belong to the network and the inner nets"""


@dataclass(frozen=True)
class Gathering:
    """One amplifier's neighbourhood: `fixed` are steady nets, `walls` those others drive or listen at."""

    view: View
    fixed: frozenset[str]
    walls: frozenset[str]
    amp: Amplifier

    @cached_property
    def pins(self) -> frozenset[str]:
        """The amplifier's own nets."""
        return frozenset((self.amp.inv, self.amp.non, self.amp.out))

    @cached_property
    def barred(self) -> frozenset[str]:
        """Nets that paths do not pass."""
        return self.fixed | self.walls | self.pins | self._channels

    @cached_property
    def _channels(self) -> frozenset[str]:
        """Nets on a transistor that works as a resistor: the network ends there, for its parts do not count
        it.
        """
        return frozenset(
            net for item in self.view.transistors for net in (item.top, item.bottom, item.control)
        )

    @cached_property
    def looped_non(self) -> bool:
        """The output leads to the non-inverting input, or one knob bridges both inputs."""
        non, amp = self.amp.non, self.amp
        if non in self.fixed or non in self.walls or non in (amp.inv, amp.out):
            return False
        return self._reaches(non, {amp.out}, barred=self.barred) or bool(self._bridging_wipers)

    @cached_property
    def _bridging_wipers(self) -> frozenset[str]:
        """Nets one knob's two halves join to both inputs."""
        to_inv = {
            (leaf.ref, leaf.other(self.amp.inv)) for leaf in self.view.on(self.amp.inv) if leaf.variable
        }
        to_non = {
            (leaf.ref, leaf.other(self.amp.non)) for leaf in self.view.on(self.amp.non) if leaf.variable
        }
        return frozenset(net for _, net in to_inv & to_non if net not in self.barred)

    @cached_property
    def terminals(self) -> tuple[str, ...]:
        """The amplifier's pins between which its loops run."""
        nets = [self.amp.inv, self.amp.out, *([self.amp.non] if self.looped_non else [])]
        return tuple(dict.fromkeys(net for net in nets if net not in self.fixed))

    @cached_property
    def loop(self) -> tuple[str, ...]:
        """Nets inside the loops."""
        reached = self._region(self.starts)
        return tuple(net for net in reached if self._is_in_loop(net))

    @cached_property
    def starts(self) -> tuple[str, ...]:
        """Inputs of the amplifier whose branches belong to the network."""
        amp = self.amp
        inv = () if amp.inv == amp.out or amp.inv in self.fixed | self.walls else (amp.inv,)
        return (*inv, amp.non) if self.looped_non else inv

    def _region(self, starts: Collection[str], beside: Collection[str] = ()) -> tuple[str, ...]:
        """Free nets that can be reached from some nets, past neither barred nets nor those named `beside`."""
        found: dict[str, None] = {}
        pending = list(starts)
        while pending:
            for _, far in self._around(pending.pop(0)):
                if far not in self.barred and far not in found and far not in beside:
                    found[far] = None
                    pending.append(far)
        return tuple(found)

    def _around(self, net: str) -> Iterator[tuple[Leaf, str]]:
        for leaf in self.view.on(net):
            yield leaf, leaf.other(net)

    def _reaches(self, start: str, goals: Collection[str], barred: Collection[str]) -> bool:
        seen, pending = {start}, [start]
        while pending:
            for _, far in self._around(pending.pop()):
                if far in goals:
                    return True
                if far not in seen and far not in barred:
                    seen.add(far)
                    pending.append(far)
        return False

    def _is_in_loop(self, net: str) -> bool:
        """No single other net cuts this one off from every terminal: then two disjoint ways lead to two of
        them.
        """
        if len(self.terminals) < 2:
            return False
        cuts = [*self._region([net]), *self.terminals]
        return all(
            self._reaches(net, set(self.terminals) - {cut}, barred=self.barred | {cut})
            for cut in cuts
            if cut != net
        )

    def gather(self) -> Gathered:
        """Every edge of the network, unreduced."""
        return self._gathered(self.starts, self.loop)

    def arms(self) -> Gathered:
        """Every edge from the non-inverting input outward."""
        return self._gathered((self.amp.non,), ())

    def _gathered(self, starts: tuple[str, ...], loop: tuple[str, ...]) -> Gathered:
        core = (*starts, *loop)
        inner = dict.fromkeys(loop)
        for net in core:
            for _, far in self._around(net):
                if far not in self.barred and far not in inner:
                    inner.update(dict.fromkeys(self._hanging(far, core)))
        own = (*starts, *inner)
        edges: dict[str, Edge] = {}
        inputs: dict[str, None] = {}
        for net in own:
            for leaf, far in self._around(net):
                edges[leaf.name] = Edge(net, GROUND if far in self.fixed else far, leaf)
                if far not in own and far not in self.fixed and far != self.amp.out:
                    inputs[far] = None
        return Gathered(self._ordered(edges), tuple(inner), tuple(inputs), own)

    def _ordered(self, edges: dict[str, Edge]) -> tuple[Edge, ...]:
        return tuple(edges[leaf.name] for leaf in self.view.leaves if leaf.name in edges)

    def _hanging(self, far: str, core: Collection[str]) -> tuple[str, ...]:
        """The nets beyond the loop that belong to it: a whole dead end, or a chain up to its first fork."""
        region = (far, *(net for net in self._region([far], beside=core) if net != far))
        if not any(self._meets_others(net) for net in region):
            return region
        chain: list[str] = []
        came, here = set(core), far
        while here not in self.barred and here not in came and not self._meets_others_at(here):
            onward = {other for _, other in self._around(here)} - came - {here, *chain}
            if len(onward) != 1 and not onward <= self.fixed:
                break
            chain.append(here)
            if not onward or onward <= self.fixed:
                break
            here = next(iter(onward))
        return tuple(chain)

    def _meets_others(self, net: str) -> bool:
        """A wall, a port or a foreign pin is on the net or one part away."""
        return self._meets_others_at(net) or any(
            far in self.walls or (far in self.pins and far not in self.starts) for _, far in self._around(net)
        )

    def _meets_others_at(self, net: str) -> bool:
        pins = self.view.active_pins.get(net, ())
        return net in self.view.ports or any(self.view.family[ref] != "optocoupler" for ref, _ in pins)
