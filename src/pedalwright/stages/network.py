"""The passive neighbourhood of one amplifier, gathered from its inputs outward and reduced to branches."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from pedalwright.circuit.circuit import GROUND
from pedalwright.stages.branch import Branch, Leaf, conducts, parallel
from pedalwright.stages.edges import Edge, reduce_edges
from pedalwright.stages.gathering import Gathering
from pedalwright.stages.nets import NetClasses
from pedalwright.stages.view import Amplifier, View


@dataclass(frozen=True)
class AmplifierNetwork:
    """What hangs between an amplifier's pins. `edges` are reduced; `inner` are the nets that belong to
    nobody else.

    `inputs` are the nets where signals enter, in the order met: the stage's closed form is in terms of
    their voltages. `non_still` tells whether the non-inverting input stands on a steady net.
    """

    amplifier: Amplifier
    edges: tuple[Edge, ...]
    inner: tuple[str, ...]
    inputs: tuple[str, ...]
    non_still: bool
    raw_edges: tuple[Edge, ...] = ()
    """the same parts before reduction, one by one"""
    inside: tuple[Leaf, ...] = ()
    """parts between the amplifier's own pin and `amplifier.out`, where the two differ (see `loop_tap`)"""

    def between(self, a: str, b: str) -> tuple[Branch, ...]:
        """The branches that join two nets directly."""
        return tuple(edge.branch for edge in self.edges if {edge.a, edge.b} == {a, b})

    def joined(self, a: str, b: str) -> Branch | None:
        """The parallel of all branches between two nets, or None."""
        found = self.between(a, b)
        return parallel(*found) if found else None

    def touching(self, net: str) -> tuple[Edge, ...]:
        """The branches on a net."""
        return tuple(edge for edge in self.edges if net in (edge.a, edge.b))

    @cached_property
    def feedback(self) -> Branch | None:
        """The branch from output to inverting input, when it is one branch."""
        return self.joined(self.amplifier.inv, self.amplifier.out)

    @cached_property
    def shunt(self) -> Branch | None:
        """The branch from the inverting input to a steady net."""
        return self.joined(self.amplifier.inv, GROUND)

    @cached_property
    def has_negative_feedback(self) -> bool:
        """True when the output reaches the inverting input without passing the non-inverting one."""
        return self._reaches(self.amplifier.inv, self.amplifier.non, self.edges)

    @cached_property
    def has_linear_feedback(self) -> bool:
        """The same through parts that small signals pass: a loop closed by diodes alone is open at rest."""
        linear = tuple(edge for edge in self.edges if conducts(edge.branch))
        return self._reaches(self.amplifier.inv, self.amplifier.non, linear)

    @cached_property
    def has_positive_feedback(self) -> bool:
        """True when the output reaches the non-inverting input without passing the inverting one."""
        return not self.non_still and self._reaches(self.amplifier.non, self.amplifier.inv, self.edges)

    def _reaches(self, goal: str, avoid: str, edges: tuple[Edge, ...]) -> bool:
        start = self.amplifier.out
        if start == goal:
            return True
        seen, pending = {start, avoid, GROUND, *self.inputs} - {goal}, [start]
        while pending:
            net = pending.pop()
            for far in (edge.other(net) for edge in edges if net in (edge.a, edge.b)):
                if far == goal:
                    return True
                if far not in seen:
                    seen.add(far)
                    pending.append(far)
        return False

    @cached_property
    def leaves(self) -> tuple[Leaf, ...]:
        """Every two-terminal thing in the network."""
        return tuple(leaf for edge in self.edges for leaf in edge.branch.leaves())

    @cached_property
    def refs(self) -> tuple[str, ...]:
        """The designators of the network's passive parts, each once."""
        return tuple(dict.fromkeys(leaf.ref for leaf in self.leaves))


def network_of(view: View, classes: NetClasses, amp: Amplifier) -> AmplifierNetwork:
    """Gather and reduce the network of one amplifier."""
    gathered = Gathering(view, classes.still, walls_for(view, classes, amp), amp).gather()
    edges, inner = reduce_edges(gathered.edges, gathered.inner)
    touched = {net for edge in edges for net in (edge.a, edge.b)}
    inputs = [net for net in gathered.inputs if net in touched]
    for pin in (amp.inv, amp.non):
        if pin not in (amp.out, *gathered.own) and not classes.is_still(pin) and pin not in inputs:
            inputs.append(pin)
    return AmplifierNetwork(amp, edges, inner, tuple(inputs), classes.is_still(amp.non), gathered.edges)


def arms_of(view: View, classes: NetClasses, amp: Amplifier) -> tuple[Edge, ...]:
    """The reduced branches on the non-inverting input, each up to its first fork; its bias resistors
    included.
    """
    gathered = Gathering(view, classes.still, walls_for(view, classes, amp), amp).arms()
    return reduce_edges(gathered.edges, gathered.inner)[0]


def walls_for(view: View, classes: NetClasses, amp: Amplifier | None) -> frozenset[str]:
    """Nets a stage's network may touch but not pass: driven nets, other amplifiers' and transistors'
    inputs, jacks.
    """
    others = [other for other in view.amplifiers if amp is None or other.ref != amp.ref]
    drivers = {other.out for other in others} | ({view.input_net} - {""})
    listeners = {net for other in others for net in (other.non, other.inv)} | ({view.output_net} - {""})
    for transistor in view.transistors:
        if not acts_as_resistor(view, classes, transistor.ref):
            drivers |= {transistor.top, transistor.bottom}
            listeners.add(transistor.control)
    listeners |= _signal_jacks(view, classes)
    walls = drivers | listeners
    for net, pins in view.active_pins.items():
        if any(view.family[ref] == "echo-chip" and pin in ("5", "6", "7", "8") for ref, pin in pins):
            walls.add(net)
    if amp is not None:
        walls -= {amp.out}
        if amp.inv not in drivers:
            walls -= {amp.inv}
    return frozenset(walls - classes.still)


def _signal_jacks(view: View, classes: NetClasses) -> set[str]:
    """Nets of further jacks; not those where a knob to a steady net, or to another contact of the jack,
    stands for the pedal plugged in there.
    """
    found: set[str] = set()
    for jack in view.parts_of("jack"):
        own = {view.net(jack, pin) for pin, _ in jack.pins}
        found |= {net for net in own if not _takes_a_control(view, classes, net, own)}
    return found


def _takes_a_control(view: View, classes: NetClasses, net: str, own: set[str]) -> bool:
    ends = {leaf.other(net) for leaf in view.on(net) if leaf.variable}
    return any(classes.is_still(end) or end in own for end in ends)


def acts_as_resistor(view: View, classes: NetClasses, ref: str) -> bool:
    """A field-effect transistor whose channel rests between no two different steady nets works as a
    resistor.
    """
    transistor = next(item for item in view.transistors if item.ref == ref)
    if transistor.family != "fet":
        return False
    ends = {transistor.top, transistor.bottom}
    rests = {rest for net in ends for rest in resting_nets(view, classes, net, past=ref)}
    others = {other.ref for other in view.transistors if ends & {other.top, other.bottom}} - {ref}
    return len(rests) < 2 and not others - {other for other in others if _shares(view, classes, ends, other)}


def _shares(view: View, classes: NetClasses, ends: set[str], ref: str) -> bool:
    """The other transistor meets these ends at steady nets only, or is a channel beside this one."""
    other = next(item for item in view.transistors if item.ref == ref)
    met = {net for net in ends & {other.top, other.bottom} if not classes.is_still(net)}
    return not met or other.family == "fet"


def resting_nets(view: View, classes: NetClasses, start: str, *, past: str = "") -> set[str]:
    """The steady nets that resistors lead to from a net, past no chip's or transistor's pin.

    With `past`, the designator of the transistor asked about, a direct current also goes on through the
    other transistors that resistors lead to.
    """
    found, seen, pending = set(), {start}, [start]
    while pending:
        net = pending.pop()
        if classes.is_still(net):
            found.add(net)
            continue
        others = set(_through_others(view, net, past)) if past and net != start else set()
        if net != start and not others and (view.active_pins.get(net) or net in view.ports):
            continue
        onward = ({leaf.other(net) for leaf in view.on(net) if leaf.sort in "RL"} | others) - seen
        seen |= onward
        pending.extend(onward)
    return found


def _through_others(view: View, net: str, past: str) -> Iterable[str]:
    """Where other transistors' collector-emitter paths and channels lead from a net without further pins."""
    ends = {(item.ref, pin) for item in view.transistors for pin in ("c", "e", "d", "s")}
    if net in view.ports or not set(view.active_pins.get(net, ())) <= ends:
        return
    for item in view.transistors:
        if item.ref != past and net in (item.top, item.bottom):
            yield item.bottom if net == item.top else item.top
