"""A transistor amplifier with diodes from its collector or drain back to its base or gate."""

from collections.abc import Iterable
from dataclasses import replace

from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.clipping import limits_of, limits_v
from pedalwright.stages.edges import reduce_edges
from pedalwright.stages.stage import Number, Proposal, Role, Stage
from pedalwright.stages.transistor_cluster import free_clusters
from pedalwright.stages.transistor_network import TransistorNetwork
from pedalwright.stages.transistor_part_says import part_says as transistor_part_says
from pedalwright.stages.transistor_says import amplifier_purpose
from pedalwright.stages.transistor_shape import (
    control_word,
    is_common_bottom,
    network_around,
    network_of_stage,
    propose_transistor,
    role_of,
    transistor_roles,
)
from pedalwright.stages.transistor_words import transistor_numbers
from pedalwright.stages.wording import listed, named, volts

DIODE, BLOCK = "clipping diode", "dc-blocking capacitor"


def find_clipping_transistors(claimed: Claimed, kind: str) -> Iterable[Proposal]:
    """Free transistor amplifiers with diodes in a way between output and control."""
    for cluster in free_clusters(claimed.view, claimed.classes, claimed.taken):
        network = network_around(claimed.bench, cluster)
        diodes = {leaf.ref for leaf in network.at("bridge") if leaf.sort == "D"}
        if diodes and is_common_bottom(claimed, network):
            blocks = _in_row_with_diodes(network)
            words = dict.fromkeys(diodes, DIODE) | dict.fromkeys(blocks, BLOCK)
            roles = tuple(
                Role(role.ref, words.get(role.ref, role.role))
                for role in transistor_roles(claimed.bench, network)
            )
            yield propose_transistor(claimed, network, kind, roles=roles)


def _in_row_with_diodes(network: TransistorNetwork) -> tuple[str, ...]:
    """Capacitors through which the diodes hang: they keep base and collector apart at rest."""
    beside = {net for leaf in network.at("bridge") if leaf.sort == "D" for net in (leaf.a, leaf.b)}
    inside = beside & set(network.inner) - {network.cluster.control}
    return tuple(leaf.ref for leaf in network.at("bridge") if leaf.sort == "C" and {leaf.a, leaf.b} & inside)


def is_transistor_clipper(stage: Stage) -> bool:
    """The stage is built on a transistor."""
    return bool(stage.with_role("transistor"))


def _diodes_alone(stage: Stage, bench: Bench) -> Stage:
    """The stage with its diode strings as reduced branches, told against the control."""
    network = network_of_stage(stage, bench)
    bridge = {leaf.name for leaf in network.at("bridge")}
    edges = [
        edge
        for edge in network.edges
        if isinstance(edge.branch, Leaf) and edge.branch.name in bridge and edge.branch.sort != "C"
    ]
    joined = _without_blocks(stage, network)
    edges = [replace(edge, a=joined.get(edge.a, edge.a), b=joined.get(edge.b, edge.b)) for edge in edges]
    inner = set(network.inner) - {network.cluster.control, *joined}
    reduced, _ = reduce_edges(edges, inner)
    branches = {"diodes": tuple(edge.branch for edge in reduced)}
    return replace(stage, branches=branches, nets={"inverting": network.cluster.control})


def _without_blocks(stage: Stage, network: TransistorNetwork) -> dict[str, str]:
    """Nets behind a blocking capacitor, and the net on its other side: for clipping they move together."""
    blocks = [leaf for leaf in network.at("bridge") if leaf.ref in stage.with_role(BLOCK)]
    inside = set(network.inner) - {network.cluster.control}
    return {net: leaf.other(net) for leaf in blocks for net in (leaf.a, leaf.b) if net in inside}


def clipper_numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The amplifier's figures, and the heights at which the diodes hold its output."""
    return (*transistor_numbers(stage, bench), *limits_of(_diodes_alone(stage, bench), bench))


def clipper_purpose(stage: Stage, bench: Bench) -> str:
    """What the amplifier does, and where its diodes stop it."""
    diodes = listed([named(bench, ref) for ref in stage.with_role(DIODE)])
    heights = [value for value in limits_v(_diodes_alone(stage, bench), bench) if value is not None]
    held = f"about {volts(min(heights))} from rest" if heights else "far from rest"
    control = control_word(network_of_stage(stage, bench).cluster)
    return (
        f"{amplifier_purpose(stage, bench)} {diodes} lead the output back to the {control} once it is "
        f"{held}: large signals are pressed flat, and this is where the distortion comes from."
    )


def clipper_part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for."""
    role = role_of(stage, ref)
    if role == DIODE:
        heights = [value for value in limits_v(_diodes_alone(stage, bench), bench) if value is not None]
        at = f" from about {volts(min(heights))} on" if heights else ""
        return f"Conducts{at} and leads the output back, so that it cannot get larger."
    if role == BLOCK:
        return "Keeps the resting voltages on its sides apart: the diodes conduct for the signal only."
    return transistor_part_says(stage, ref, bench)
