"""Questions and building blocks that several amplifier kinds share: the words of the parts, and the stage's
claim.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pedalwright.circuit.circuit import GROUND
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch, Leaf, sorts
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.ideal import is_driven_by_hand
from pedalwright.stages.loop_tap import INSIDE
from pedalwright.stages.loose_ends import leads_nowhere
from pedalwright.stages.network import AmplifierNetwork
from pedalwright.stages.reduction import amplifier_gains
from pedalwright.stages.stage import Proposal, Role, Stage, Transfer
from pedalwright.stages.view import Amplifier

ComplexArray = NDArray[np.complex128]
Words = Mapping[str, str]
"""role of a branch's parts by sort: keys ``R C L D`` and ``knob``"""

INPUT_WORDS: Words = {
    "R": "input resistor",
    "C": "dc-blocking capacitor",
    "L": "input inductor",
    "D": "clipping diode",
    "knob": "gain knob",
}
FEEDBACK_WORDS: Words = {
    "R": "feedback resistor",
    "C": "feedback capacitor",
    "L": "feedback inductor",
    "D": "clipping diode",
    "knob": "gain knob",
}
SHUNT_WORDS: Words = {
    "R": "gain-setting resistor",
    "C": "bass-corner capacitor",
    "L": "gain-setting inductor",
    "D": "clipping diode",
    "knob": "gain knob",
}


def is_follower(network: AmplifierNetwork) -> bool:
    """Output wired straight, or through feedback parts alone, to the inverting input."""
    amp = network.amplifier
    if amp.inv == amp.out:
        return True
    others = [edge for edge in network.touching(amp.inv) if edge.other(amp.inv) != amp.out]
    return not others and network.feedback is not None


def negative_inner(network: AmplifierNetwork) -> tuple[str, ...]:
    """The inner nets of the loop on the inverting side: none for the plain amplifiers."""
    return tuple(net for net in network.inner if net != network.amplifier.non)


def signal_inputs(network: AmplifierNetwork) -> tuple[str, ...]:
    """The nets from which branches lead to the inverting input."""
    return tuple(net for net in network.inputs if net != network.amplifier.non)


def is_plain(network: AmplifierNetwork) -> bool:
    """Negative feedback through one branch, no inner nets, nothing from the output to the non-inverting
    input.
    """
    amp = network.amplifier
    return (
        amp.inv != amp.out
        and network.feedback is not None
        and not negative_inner(network)
        and not network.has_positive_feedback
        and not network.between(amp.inv, amp.non)
    )


def branch_roles(claimed: Claimed, branches: Iterable[Branch], words: Words) -> tuple[Role, ...]:
    """One role per part of some branches."""
    found: dict[str, str] = {}
    for branch in branches:
        for leaf in branch.leaves():
            found.setdefault(leaf.ref, _word(claimed, leaf, words))
    return tuple(Role(ref, role) for ref, role in found.items())


def _word(claimed: Claimed, leaf: Leaf, words: Words) -> str:
    family = claimed.view.family[leaf.ref]
    return words["knob"] if family == "knob" else words[leaf.sort]


def propose(
    claimed: Claimed,
    network: AmplifierNetwork,
    kind: str,
    branches: Mapping[str, tuple[Branch, ...]],
    words: Mapping[str, Words],
    *,
    inputs: tuple[str, ...] | None = None,
    rank: int = 0,
    with_cells: bool = False,
) -> Proposal:
    """An amplifier stage: the section and every part of its branches; parts taken elsewhere become
    secondary roles, and so do optocouplers' cells, which are a kind of their own, unless `with_cells`.
    """
    amp = network.amplifier
    if network.inside:
        branches, words = {**branches, INSIDE: network.inside}, {**words, INSIDE: FEEDBACK_WORDS}
    roles = [Role(amp.ref, "amplifier")]
    for name, group in branches.items():
        roles.extend(branch_roles(claimed, group, words[name]))
    unique = {role.ref: role for role in reversed(roles)}
    ordered = [role for role in dict.fromkeys(roles) if unique[role.ref] == role]
    entered = network.inputs if inputs is None else inputs
    apart = {amp.out, *entered, *claimed.view.ports}
    touched = dict.fromkeys((*network.inner, amp.inv, amp.non))
    inner = [net for net in touched if net not in apart and _is_private(claimed, net, branches, amp)]
    nets = {f"inner{place}": net for place, net in enumerate(inner)}
    family = claimed.view.family
    cells = {ref for ref in unique if family.get(ref) == "optocoupler" and not with_cells}
    own = [role for role in ordered if claimed.free(role.ref) and role.ref not in cells]
    return Proposal(
        kind=kind,
        roles=tuple(own),
        shared=tuple(role for role in ordered if role not in own),
        inputs=entered,
        output=amp.out,
        branches=branches,
        nets={**nets, "inverting": amp.inv, "non-inverting": amp.non},
        rank=rank,
    )


def without_bias_feed(claimed: Claimed, network: AmplifierNetwork, found: Proposal) -> Proposal:
    """The proposal less the resistors that alone bring the non-inverting input its rest."""
    non, flow = network.amplifier.non, claimed.bench.flow
    feeds = {
        leaf.ref
        for leaf in claimed.view.on(non)
        if leaf.sort == "R" and not leaf.variable and claimed.classes.is_still(leaf.other(non))
    }
    if not feeds or flow.is_fed_dc(non, without=frozenset(feeds)):
        return found
    return replace(
        found,
        roles=tuple(role for role in found.roles if role.ref not in feeds),
        shared=(*found.shared, *(role for role in found.roles if role.ref in feeds)),
    )


def _is_private(
    claimed: Claimed, net: str, branches: Mapping[str, tuple[Branch, ...]], amp: Amplifier
) -> bool:
    """Nothing but the stage's own parts, its amplifier and loose ends is on the net."""
    own = {leaf.name for group in branches.values() for branch in group for leaf in branch.leaves()}
    pins = [pin for pin in claimed.view.active_pins.get(net, ()) if pin[0] != amp.part.ref]
    return not pins and all(
        leaf.name in own or leads_nowhere(claimed.view, leaf.name, leaf.other(net), net)
        for leaf in claimed.view.on(net)
    )


def members_of(branches: Mapping[str, tuple[Branch, ...]]) -> frozenset[str]:
    """Names of the linear elements in a stage's branches; diodes are open in the linear view."""
    return frozenset(
        leaf.name for group in branches.values() for branch in group for leaf in _conducting(branch)
    )


def _conducting(branch: Branch) -> Iterable[Leaf]:
    """Leaves that small signals reach: a series string with a diode in it is open."""
    if isinstance(branch, Leaf):
        return () if branch.sort == "D" else (branch,)
    if "D" in sorts(branch) and type(branch).__name__ == "Series":
        return (
            ()
            if any(isinstance(link, Leaf) and link.sort == "D" for link in branch.links)
            else tuple(leaf for link in branch.links for leaf in _conducting(link))
        )
    return tuple(leaf for link in branch.links for leaf in _conducting(link))


def stiff_transfer(
    stage: Stage,
    gains: Callable[[ComplexArray], tuple[ComplexArray, ...]],
    *,
    formula: str,
    source: str,
) -> Transfer:
    """The claim of a stage whose amplifier holds its output stiff."""
    return Transfer(
        inputs=stage.inputs,
        output=stage.output,
        gains=gains,
        members=members_of(stage.branches),
        formula=formula,
        source=source,
    )


def where_closed(stage: Stage, bench: Bench, claim: Transfer) -> Transfer | None:
    """The claim, or None where the linear view leaves the loop open: transistors behind diodes close the
    real one.
    """
    section = stage.with_role("amplifier")[0]
    amp = next(amp for amp in bench.view.amplifiers if amp.ref == section)
    return None if is_driven_by_hand(bench, amp) else claim


def network_transfer(stage: Stage, bench: Bench, *, formula: str, source: str) -> Transfer:
    """The claim of a stage no closed form names: exact nodal reduction of its own network."""
    section = stage.with_role("amplifier")[0]
    network = bench.networks[section]
    return Transfer(
        inputs=network.inputs,
        output=stage.output,
        gains=lambda s: amplifier_gains(network, s),
        members=members_of({"all": tuple(edge.branch for edge in network.edges)}),
        formula=formula,
        source=source,
    )


def edges_at(network: AmplifierNetwork, net: str) -> Mapping[str, tuple[Branch, ...]]:
    """The branches on an inner net by where they lead: a net's name, or ``gnd``."""
    found: dict[str, tuple[Branch, ...]] = {}
    for edge in network.touching(net):
        far = edge.other(net)
        found[far] = (*found.get(far, ()), edge.branch)
    return found


__all__ = [
    "FEEDBACK_WORDS",
    "GROUND",
    "INPUT_WORDS",
    "SHUNT_WORDS",
    "Words",
    "branch_roles",
    "edges_at",
    "is_follower",
    "is_plain",
    "members_of",
    "negative_inner",
    "network_transfer",
    "propose",
    "signal_inputs",
    "stiff_transfer",
    "where_closed",
    "without_bias_feed",
]
