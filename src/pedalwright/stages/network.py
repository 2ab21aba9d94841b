"""The passive neighbourhood of one amplifier, gathered from its inputs outward and reduced to branches."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from pedalwright.circuit.circuit import GROUND
from pedalwright.stages.branch import Branch, Leaf, parallel, series
from pedalwright.stages.nets import NetClasses
from pedalwright.stages.view import Amplifier, View


@dataclass(frozen=True, slots=True)
class Edge:
    """One reduced branch between two nets; every steady net appears as ``gnd``."""

    a: str
    b: str
    branch: Branch

    def other(self, net: str) -> str:
        """The far end."""
        return self.b if net == self.a else self.a


@dataclass(frozen=True)
class AmplifierNetwork:
    """What hangs between an amplifier's pins. `edges` are reduced; `inner` are the nets that belong to nobody else.

    `inputs` are the nets where signals enter, in the order met: the stage's closed form is in terms of their voltages.
    `non_still` tells whether the non-inverting input stands on a steady net.
    """

    amplifier: Amplifier
    edges: tuple[Edge, ...]
    inner: tuple[str, ...]
    inputs: tuple[str, ...]
    non_still: bool

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
        return self._reaches(self.amplifier.out, self.amplifier.inv, self.amplifier.non)

    @cached_property
    def has_positive_feedback(self) -> bool:
        """True when the output reaches the non-inverting input without passing the inverting one."""
        return not self.non_still and self._reaches(
            self.amplifier.out, self.amplifier.non, self.amplifier.inv
        )

    def _reaches(self, start: str, goal: str, avoid: str) -> bool:
        if start == goal:
            return True
        seen, pending = {start, avoid, GROUND, *self.inputs} - {goal}, [start]
        while pending:
            net = pending.pop()
            for edge in self.touching(net):
                far = edge.other(net)
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
    walls = walls_for(view, classes, amp)
    gathered = _gather(view, classes, amp, walls)
    edges, inner = _reduce(gathered.edges, gathered.inner)
    touched = {net for edge in edges for net in (edge.a, edge.b)}
    inputs = tuple(net for net in gathered.inputs if net in touched)
    if not classes.is_still(amp.non) and amp.non not in gathered.inner_all:
        inputs = (*inputs, amp.non) if amp.non not in inputs else inputs
    return AmplifierNetwork(amp, edges, inner, inputs, classes.is_still(amp.non))


def walls_for(view: View, classes: NetClasses, amp: Amplifier | None) -> frozenset[str]:
    """Nets a stage's network may touch but not pass: driven nets, other amplifiers' and transistors' inputs, jacks."""
    walls: set[str] = set()
    for other in view.amplifiers:
        if amp is None or other.ref != amp.ref:
            walls |= {other.non, other.inv, other.out}
    for transistor in view.transistors:
        if not acts_as_resistor(view, classes, transistor.ref):
            walls |= {transistor.control, transistor.top, transistor.bottom}
    walls |= {view.input_net, view.output_net} - {""}
    for net, pins in view.active_pins.items():
        if any(view.family[ref] == "echo-chip" and pin in ("5", "6", "7", "8") for ref, pin in pins):
            walls.add(net)
    if amp is not None:
        walls -= {amp.out, amp.inv}
    return frozenset(walls - classes.still)


def acts_as_resistor(view: View, classes: NetClasses, ref: str) -> bool:
    """A field-effect transistor whose channel has no direct-current feed from a rail works as a resistor."""
    transistor = next(item for item in view.transistors if item.ref == ref)
    if transistor.family != "fet" or classes.rails & {transistor.top, transistor.bottom}:
        return False
    for net in (transistor.top, transistor.bottom):
        if any(leaf.sort in "RL" and leaf.other(net) in classes.rails for leaf in view.on(net)):
            return False
    return True


@dataclass
class _Gathered:
    edges: list[Edge]
    inner: set[str]
    inputs: list[str]
    inner_all: set[str]


def _gather(view: View, classes: NetClasses, amp: Amplifier, walls: frozenset[str]) -> _Gathered:
    """Walk from both inputs: towards the output through nets of the loop, elsewhere along chains to the first fork."""
    found = _Gathered([], set(), [], set())
    fixed = classes.still
    starts = [amp.inv] if amp.inv != amp.out and amp.inv not in fixed else []
    if (
        amp.non not in fixed
        and amp.non not in walls
        and _closes(view, fixed, walls, amp.non, amp.out, {amp.inv})
    ):
        starts.append(amp.non)
    found.inner_all |= set(starts)
    used: set[str] = set()
    pending = list(starts)
    while pending:
        net = pending.pop(0)
        for leaf in view.on(net):
            if leaf.name in used:
                continue
            far = leaf.other(net)
            if far in found.inner_all or far == amp.out or far in fixed or far in walls or far == amp.non:
                used.add(leaf.name)
                found.edges.append(Edge(net, GROUND if far in fixed else far, leaf))
                if far in walls or (far == amp.non and far not in found.inner_all):
                    _note(found.inputs, far)
            elif _closes(view, fixed, walls, far, amp.out, found.inner_all | {amp.non}):
                used.add(leaf.name)
                found.edges.append(Edge(net, far, leaf))
                found.inner_all.add(far)
                found.inner.add(far)
                pending.append(far)
            else:
                _chain(view, fixed, walls, net, leaf, found, used)
    return found


def _note(inputs: list[str], net: str) -> None:
    if net not in inputs:
        inputs.append(net)


def _closes(
    view: View, fixed: frozenset[str], walls: frozenset[str], net: str, goal: str, avoid: Iterable[str]
) -> bool:
    """True when a path of two-terminal parts leads from `net` to `goal` past no steady net, wall or avoided net."""
    seen = {*avoid, net}
    pending = [net]
    while pending:
        here = pending.pop()
        for leaf in view.on(here):
            far = leaf.other(here)
            if far == goal:
                return True
            if far not in seen and far not in fixed and far not in walls:
                seen.add(far)
                pending.append(far)
    return False


def _chain(
    view: View,
    fixed: frozenset[str],
    walls: frozenset[str],
    net: str,
    first: Leaf,
    found: _Gathered,
    used: set[str],
) -> None:
    """Follow series parts away from the loop to the first fork, wall or steady net."""
    links: list[Branch] = []
    here, leaf = net, first
    while True:
        far = leaf.other(here)
        beside = [other for other in view.on(here) if other.other(here) == far and other.name not in used]
        used |= {other.name for other in beside}
        links.append(parallel(*beside))
        onward = [other for other in view.on(far) if other.name not in used and other.other(far) != here]
        ends = {other.other(far) for other in onward}
        if far in fixed or far in walls or not onward or _is_pinned(view, far):
            break
        if ends <= fixed:
            used |= {other.name for other in onward}
            links.append(parallel(*onward))
            far = GROUND
            break
        if len(ends) > 1:
            break
        here, leaf = far, onward[0]
    end = GROUND if far in fixed else far
    found.edges.append(Edge(net, end, series(*links)))
    if end != GROUND:
        _note(found.inputs, end)


def _is_pinned(view: View, net: str) -> bool:
    """A chip's or transistor's pin is on the net."""
    return bool(view.active_pins.get(net))


def _reduce(edges: list[Edge], inner: set[str]) -> tuple[tuple[Edge, ...], tuple[str, ...]]:
    """Join parallel branches, then take out every inner net with just two branches, until nothing changes."""
    while True:
        edges = _join_parallel(edges)
        single = next((net for net in sorted(inner) if len(_at(edges, net)) == 2), None)
        if single is None:
            return tuple(edges), tuple(net for net in dict.fromkeys(_nets(edges)) if net in inner)
        first, second = _at(edges, single)
        edges = [edge for edge in edges if edge is not first and edge is not second]
        edges.append(Edge(first.other(single), second.other(single), series(first.branch, second.branch)))
        inner = inner - {single}


def _at(edges: list[Edge], net: str) -> list[Edge]:
    return [edge for edge in edges if net in (edge.a, edge.b)]


def _nets(edges: Iterable[Edge]) -> Iterable[str]:
    for edge in edges:
        yield edge.a
        yield edge.b


def _join_parallel(edges: list[Edge]) -> list[Edge]:
    groups: dict[frozenset[str], list[Edge]] = {}
    for edge in edges:
        groups.setdefault(frozenset((edge.a, edge.b)), []).append(edge)
    return [
        Edge(group[0].a, group[0].b, parallel(*(edge.branch for edge in group)))
        for ends, group in groups.items()
        if len(ends) == 2
    ]
