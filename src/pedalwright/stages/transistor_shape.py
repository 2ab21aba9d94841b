"""What the transistor kinds share: the words of the parts, the stage's claim, and its network found again."""

from collections.abc import Mapping

from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.edges import reduce_edges
from pedalwright.stages.stage import Proposal, Role, Stage, Transfer
from pedalwright.stages.transistor_cluster import Cluster, clusters
from pedalwright.stages.transistor_gains import transistor_transfer
from pedalwright.stages.transistor_network import STOPPER_SHARE, TransistorNetwork, transistor_network

BIPOLAR_END, CHANNEL_END = ("collector", "emitter"), ("drain", "source")
CLAIMED_PLACES = ("top", "bottom", "bridge", "bootstrap", "across", "return", "series", "base")
"""parts at these places are the stage's; those at ``bias`` have kinds of their own"""


def network_around(bench: Bench, cluster: Cluster) -> TransistorNetwork:
    """The network of a cluster on this bench."""
    return transistor_network(bench.view, bench.classes, cluster)


def cluster_of(bench: Bench, stage: Stage) -> Cluster:
    """The transistors of a stage, found again from its roles."""
    return next(item for item in clusters(bench.view, bench.classes) if item.refs & stage.refs)


def network_of_stage(stage: Stage, bench: Bench) -> TransistorNetwork:
    """The network of a recognised stage."""
    return network_around(bench, cluster_of(bench, stage))


def ends_of(cluster: Cluster) -> tuple[str, str]:
    """The trade words for the top and the bottom of a transistor."""
    return BIPOLAR_END if cluster.lead.family == "bipolar" else CHANNEL_END


def control_word(cluster: Cluster) -> str:
    """``base`` or ``gate``."""
    return "base" if cluster.lead.family == "bipolar" else "gate"


def word_for(bench: Bench, network: TransistorNetwork, leaf: Leaf) -> str:
    """The role of one part by its place and sort."""
    kind = bench.view.circuit.by_ref[leaf.ref].kind
    if kind == "trim":
        return "bias trim"
    if kind == "knob":
        return "gain knob"
    top, bottom = ends_of(network.cluster)
    place = network.places[leaf.name]
    words: Mapping[tuple[str, str], str] = {
        ("top", "R"): f"{top} resistor",
        ("top", "C"): "load capacitor",
        ("top", "L"): f"{top} inductor",
        ("top", "D"): f"{top} diode",
        ("bottom", "R"): f"{bottom} resistor",
        ("bottom", "C"): "load capacitor" if network.output_at_bottom else f"{bottom} bypass capacitor",
        ("bottom", "L"): f"{bottom} inductor",
        ("bottom", "D"): f"{bottom} diode",
        ("bridge", "R"): "bias feedback resistor" if _passes_dc(bench, network) else "feedback resistor",
        ("bridge", "C"): "feedback capacitor",
        ("return", "R"): "bias feedback resistor",
        ("return", "C"): "feedback bypass capacitor",
        ("series", "R"): "feedback resistor",
        ("series", "C"): "feedback capacitor",
        ("bootstrap", "C"): "bootstrap capacitor",
        ("across", "R"): "feedback resistor",
        ("across", "C"): "load capacitor",
        ("base", "R"): f"{control_word(network.cluster)} resistor",
    }
    return words.get((place, leaf.sort), "network part")


def _passes_dc(bench: Bench, network: TransistorNetwork) -> bool:
    """A direct current can flow between collector and base."""
    resistive = [edge for edge in network.edges if _is_resistive_bridge(network, edge.branch)]
    reduced, _ = reduce_edges(resistive, set(network.inner) - {network.cluster.top, network.cluster.control})
    ends = {network.cluster.control, *network.top_nets}
    return any({edge.a, edge.b} <= ends and edge.a != edge.b for edge in reduced)


def _is_resistive_bridge(network: TransistorNetwork, branch: object) -> bool:
    return isinstance(branch, Leaf) and branch.sort in "RL" and network.places[branch.name] == "bridge"


def transistor_roles(bench: Bench, network: TransistorNetwork) -> tuple[Role, ...]:
    """The transistors and every part the stage claims, one role each."""
    stopper = _far_stopper(bench, network)
    roles = {transistor.ref: "transistor" for transistor in network.cluster.transistors}
    for leaf in network.leaves:
        if network.places[leaf.name] in CLAIMED_PLACES and not _is_lifted_bias(network, leaf):
            roles.setdefault(leaf.ref, word_for(bench, network, leaf))
    if stopper is not None:
        roles.setdefault(stopper, f"{control_word(network.cluster)} resistor")
    return tuple(Role(ref, role) for ref, role in roles.items())


def _far_stopper(bench: Bench, network: TransistorNetwork) -> str | None:
    """A resistor before the coupling capacitor of a base, far smaller than what it works into."""
    control, view = network.cluster.control, bench.view
    coming = [leaf for leaf in view.on(control) if leaf.sort == "C" and leaf.name not in network.places]
    if len(coming) != 1 or bench.classes.is_still(coming[0].other(control)):
        return None
    joint = coming[0].other(control)
    others = [leaf for leaf in view.on(joint) if leaf.name != coming[0].name]
    if len(view.pins(joint)) != 2 or len(others) != 1 or joint in view.ports or others[0].sort != "R":
        return None
    stopper = others[0]
    still = bench.classes.is_still
    down = [leaf.value for leaf in view.on(control) if leaf.sort == "R" and still(leaf.other(control))]
    driven = bench.flow.brings_to(stopper, joint)
    return stopper.ref if driven and all(value >= stopper.value / STOPPER_SHARE for value in down) else None


def _is_lifted_bias(network: TransistorNetwork, leaf: Leaf) -> bool:
    """A bias resistor that a bootstrap capacitor lifts stays a bias resistor."""
    return network.places[leaf.name] == "bootstrap" and leaf.sort == "R"


def propose_transistor(
    claimed: Claimed, network: TransistorNetwork, kind: str, *, roles: tuple[Role, ...] | None = None
) -> Proposal:
    """A transistor stage: free parts as roles, parts taken elsewhere as secondary ones."""
    every = transistor_roles(claimed.bench, network) if roles is None else roles
    branches = {"network": tuple(edge.branch for edge in network.edges)}
    nets = {f"inner{place}": net for place, net in enumerate(network.inner)}
    cluster = network.cluster
    return Proposal(
        kind=kind,
        roles=tuple(role for role in every if claimed.free(role.ref)),
        shared=tuple(role for role in every if not claimed.free(role.ref)),
        inputs=network.inputs,
        output=network.output,
        branches=branches,
        nets={**nets, "control": cluster.control, "top": cluster.top, "bottom": cluster.bottom},
    )


def stage_transfer(stage: Stage, bench: Bench) -> Transfer | None:
    """The exact claim of a recognised transistor stage."""
    return transistor_transfer(bench, network_of_stage(stage, bench))


def is_follower(claimed: Claimed, network: TransistorNetwork) -> bool:
    """The signal leaves at the emitter or source, and the control moves."""
    still = claimed.classes.is_still
    return (
        network.output_at_bottom
        and not still(network.cluster.control)
        and (network.fed or still(network.cluster.top))
    )


def is_common_bottom(claimed: Claimed, network: TransistorNetwork) -> bool:
    """The signal leaves at the collector or drain side, which a direct current can reach."""
    return not network.output_at_bottom and network.fed


def is_current_source(claimed: Claimed, network: TransistorNetwork) -> bool:
    """The control stands still, a resistor sets the current below, and what lies above may move."""
    still = claimed.classes.is_still
    cluster = network.cluster
    below = [leaf for leaf in network.at("bottom") if leaf.sort == "R"]
    return still(cluster.control) and not still(cluster.top) and bool(below) and not network.at("top")


def role_of(stage: Stage, ref: str) -> str:
    """The role of one part of a stage."""
    return next(member.role for member in stage.roles if member.ref == ref)
