"""The shape of a tone control in a loop: a knob between what comes in and what comes back."""

from math import inf

from pedalwright.circuit.circuit import GROUND
from pedalwright.formulas.rc import corner_hz
from pedalwright.stages.amplifier_shape import negative_inner
from pedalwright.stages.branch import Branch, Leaf, resistance
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.edges import Edge
from pedalwright.stages.network import AmplifierNetwork

AUDIBLE_HZ = 60.0
"""a capacitor before the network with a corner below this only blocks direct current (house rule)"""


def knob_branches(claimed: Claimed, network: AmplifierNetwork) -> dict[str, tuple[Branch, ...]] | None:
    """A linear loop with inner nets, a knob between what comes in and what comes back, and capacitors or
    coils.
    """
    inner = negative_inner(network)
    made_of = {leaf.sort for leaf in network.leaves}
    if not inner or not network.has_linear_feedback or not network.inputs or "D" in made_of:
        return None
    if not made_of & {"C", "L"} and not _leads_to_coil(claimed, network):
        return None
    if not any(_shares_out(claimed, network, leaf.ref) for leaf in network.leaves if leaf.variable):
        return None
    return _sorted_branches(network)


def _leads_to_coil(claimed: Claimed, network: AmplifierNetwork) -> bool:
    """A capacitor or coil lies behind one of the inputs: the leg goes on beyond the network."""
    return any(leaf.sort in "CL" for net in network.inputs for leaf in claimed.view.on(net))


def _shares_out(claimed: Claimed, network: AmplifierNetwork, ref: str) -> bool:
    """One half of the knob leads to a signal, the other to the output; or they bridge both inputs."""
    if claimed.view.family[ref] != "knob":
        return False
    halves = [leaf for leaf in claimed.view.leaves if leaf.ref == ref]
    if len(halves) != 2:
        return False
    wiper = {halves[0].a, halves[0].b} & {halves[1].a, halves[1].b}
    if not wiper:
        return False
    middle = wiper.pop()
    ends = [leaf.other(middle) for leaf in halves]
    amp = network.amplifier
    if set(ends) == {amp.inv, amp.non}:
        return True
    reach = [_reached(network, end, middle, {leaf.name for leaf in halves}) for end in ends]
    signals = set(network.inputs)
    one, two = reach
    return bool((one & signals and amp.out in two) or (two & signals and amp.out in one))


def _reached(network: AmplifierNetwork, start: str, without: str, leaves: set[str]) -> set[str]:
    """Where one end of the knob leads without passing its wiper or the amplifier's inputs."""
    amp = network.amplifier
    stops = {without, amp.inv, GROUND, amp.out, *network.inputs}
    edges = network.raw_edges
    found, pending, seen = set(), [start], {start}
    while pending:
        net = pending.pop()
        found.add(net)
        if net in stops:
            continue
        for edge in edges:
            if net in (edge.a, edge.b) and not any(leaf.name in leaves for leaf in edge.branch.leaves()):
                far = edge.other(net)
                if far not in seen and far not in (without, amp.inv):
                    seen.add(far)
                    pending.append(far)
    return found


def _sorted_branches(network: AmplifierNetwork) -> dict[str, tuple[Branch, ...]]:
    """Straight input and feedback branches by themselves, everything at the inner nets as tone parts."""
    amp = network.amplifier
    found: dict[str, list[Branch]] = {"input": [], "feedback": [], "tone": []}
    for edge in network.edges:
        ends = {edge.a, edge.b}
        if ends == {amp.inv, amp.out}:
            found["feedback"].append(edge.branch)
        elif _leads_to_non(network, edge) or _only_blocks(network, edge):
            found["input"].append(edge.branch)
        else:
            found["tone"].append(edge.branch)
    return {name: tuple(group) for name, group in found.items()}


def _leads_to_non(network: AmplifierNetwork, edge: Edge) -> bool:
    ends = {edge.a, edge.b}
    amp = network.amplifier
    return amp.non in ends and not ends & {*network.inner, amp.inv, GROUND}


def _only_blocks(network: AmplifierNetwork, edge: Edge) -> bool:
    """A capacitor before the whole network, too large to be heard against any resistor behind it."""
    start = next((net for net in (edge.a, edge.b) if net in network.inputs), None)
    if start is None or not isinstance(edge.branch, Leaf) or edge.branch.sort != "C":
        return False
    fork = edge.other(start)
    onward = [other for other in network.touching(fork) if other is not edge]
    behind = [leaf for other in onward for leaf in other.branch.leaves()]
    if any(leaf.variable and fork in (leaf.a, leaf.b) for leaf in behind):
        return False  # a knob moves what it passes
    resistances = [resistance(other.branch) for other in onward]
    least = min(resistances, default=inf)
    alone = len(network.touching(start)) == 1
    return alone and 0.0 < least < inf and corner_hz(least, edge.branch.value) < AUDIBLE_HZ
