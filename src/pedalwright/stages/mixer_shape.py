"""Shapes of mixers: arms that meet at an inverting input, before one common part, or at the other input."""

from collections.abc import Mapping

from pedalwright.circuit.circuit import GROUND
from pedalwright.stages.amplifier_shape import (
    is_follower,
    is_plain,
    signal_inputs,
)
from pedalwright.stages.branch import Branch, conducts, passes_dc, sorts
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.network import AmplifierNetwork, arms_of


def inverting_arms(network: AmplifierNetwork) -> dict[str, tuple[Branch, ...]] | None:
    """Two or more resistors from different signals to the inverting input."""
    feedback = network.feedback
    inputs = signal_inputs(network)
    if not network.non_still or not is_plain(network) or feedback is None or len(inputs) < 2:
        return None
    into = tuple(
        branch for net in inputs if (branch := network.joined(net, network.amplifier.inv)) is not None
    )
    if len(into) != len(inputs) or not all("R" in sorts(branch) and conducts(branch) for branch in into):
        return None
    if not passes_dc(feedback) or "D" in sorts(feedback):
        return None
    found = {"input": into, "feedback": (feedback,)}
    return {**found, "shunt": (network.shunt,)} if network.shunt is not None else found


def arms_through_one(
    claimed: Claimed, network: AmplifierNetwork
) -> tuple[tuple[str, ...], dict[str, tuple[Branch, ...]], str] | None:
    """Several resistors that meet before one common part: inputs, branches and the net where they meet."""
    feedback, inputs, view = network.feedback, signal_inputs(network), claimed.view
    if not network.non_still or not is_plain(network) or feedback is None or len(inputs) != 1:
        return None
    common, meeting = network.joined(inputs[0], network.amplifier.inv), inputs[0]
    if common is None or not conducts(common) or not passes_dc(feedback) or "D" in sorts(feedback):
        return None
    own = {leaf.name for leaf in common.leaves()}
    arms = [leaf for leaf in view.on(meeting) if leaf.name not in own]
    alone = not view.active_pins.get(meeting) and meeting not in view.ports
    plain = all(leaf.sort == "R" and not leaf.variable and claimed.free(leaf.ref) for leaf in arms)
    still = any(claimed.classes.is_still(leaf.other(meeting)) for leaf in arms)
    sources = tuple(dict.fromkeys(leaf.other(meeting) for leaf in arms))
    if not alone or not plain or still or len(sources) < 2 or len(sources) != len(arms):
        return None
    if not all(claimed.bench.flow.brings_to(leaf, meeting) for leaf in arms):
        return None
    branches = {"input": tuple(arms), "common": (common,), "feedback": (feedback,)}
    return sources, branches, meeting


def averaging_arms(
    claimed: Claimed, network: AmplifierNetwork
) -> tuple[tuple[str, ...], dict[str, tuple[Branch, ...]]] | None:
    """Two or more resistors from different signals to the non-inverting input of a follower or amplifier."""
    amp = network.amplifier
    plain = is_follower(network) or (is_plain(network) and network.shunt is not None)
    if network.non_still or not plain or network.has_positive_feedback or signal_inputs(network):
        return None
    found = [(edge.other(amp.non), edge) for edge in arms_of(claimed.view, claimed.classes, amp)]
    if any(amp.non not in (edge.a, edge.b) or far in (amp.inv, amp.out) for far, edge in found):
        return None
    down = tuple(edge.branch for far, edge in found if far == GROUND)
    arms = {far: edge.branch for far, edge in found if far != GROUND}
    feedback, shunt = network.feedback, network.shunt
    around = [one for one in (feedback, shunt) if one is not None]
    if not _average(claimed, network, arms) or any("D" in sorts(one) for one in (*down, *around)):
        return None
    branches: dict[str, tuple[Branch, ...]] = {"positive": tuple(arms.values()), "reference": down}
    if feedback is not None and shunt is not None:
        branches |= {"feedback": (feedback,), "shunt": (shunt,)}
    return tuple(arms), branches


def _average(claimed: Claimed, network: AmplifierNetwork, arms: Mapping[str, Branch]) -> bool:
    """Free resistive arms from two different origins or more: one signal on two ways is a tone network."""
    amp = network.amplifier
    free = all("R" in sorts(one) and "D" not in sorts(one) and claimed.all_free(one) for one in arms.values())
    variable = [leaf.ref for one in arms.values() for leaf in one.leaves() if leaf.variable]
    alone = {pin[0] for pin in claimed.view.active_pins.get(amp.non, ())} <= {amp.part.ref}
    origins = {claimed.bench.flow.origins(net) for net in arms}
    return free and alone and len(set(variable)) == len(variable) and len(origins) > 1
