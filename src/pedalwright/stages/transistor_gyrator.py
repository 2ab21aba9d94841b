"""An inductor made with a transistor: a follower holds a resistor's far end where a capacitor keeps the near
one back.
"""

from collections.abc import Iterable

from pedalwright.formulas.gyrator import inductance_h
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.stage import Number, Proposal, Role, Stage, Transfer
from pedalwright.stages.transistor_cluster import Cluster, free_clusters
from pedalwright.stages.transistor_gains import transistor_transfer
from pedalwright.stages.transistor_network import TransistorNetwork, transistor_network
from pedalwright.stages.transistor_shape import cluster_of, propose_transistor, role_of
from pedalwright.stages.wording import ohms
from pedalwright.units.values import print_value

KIND_NAME = "gyrator"
SOURCE = "follower gyrator, L = (R - RL) RL C (nodal analysis)"


def find_transistors(claimed: Claimed) -> Iterable[Proposal]:
    """Every free follower with a resistor from its emitter and a capacitor from its base to the same moving
    net.
    """
    for cluster in free_clusters(claimed.view, claimed.classes, claimed.taken):
        line = _line(claimed.bench, cluster)
        if line is not None:
            network = transistor_network(claimed.view, claimed.classes, cluster, also=(line,))
            roles = _roles(claimed, network)
            if network.output == line and not network.inputs:
                yield propose_transistor(claimed, network, KIND_NAME, roles=roles)


def _line(bench: Bench, cluster: Cluster) -> str | None:
    """The net that sees the inductor, or None."""
    classes, view = bench.classes, bench.view
    if cluster.shape != "single" or not classes.is_still(cluster.top) or classes.is_still(cluster.control):
        return None
    through = {leaf.other(cluster.bottom) for leaf in view.on(cluster.bottom) if leaf.sort == "R"}
    held = {leaf.other(cluster.control) for leaf in view.on(cluster.control) if leaf.sort == "C"}
    moving = [net for net in through & held if not classes.is_still(net) and net != cluster.bottom]
    return moving[0] if len(moving) == 1 else None


def _roles(claimed: Claimed, network: TransistorNetwork) -> tuple[Role, ...]:
    found = {network.cluster.lead.ref: "transistor"}
    for leaf in network.leaves:
        found.setdefault(leaf.ref, _word(network, leaf))
    return tuple(Role(ref, role) for ref, role in found.items())


def _word(network: TransistorNetwork, leaf: Leaf) -> str:
    cluster, ends = network.cluster, {leaf.a, leaf.b}
    if leaf.sort == "C":
        return "gyrator capacitor"
    if cluster.bottom in ends:
        return "series resistor" if network.output in ends else "emitter resistor"
    return "gyrator resistor" if network.places[leaf.name] == "bias" else "network part"


def gyrator_network(stage: Stage, bench: Bench) -> TransistorNetwork:
    """The stage's network found again; ValueError when the stage is no transistor gyrator."""
    cluster = cluster_of(bench, stage)
    line = _line(bench, cluster)
    if line is None:
        raise ValueError(f"{stage.name} is no transistor gyrator")
    return transistor_network(bench.view, bench.classes, cluster, also=(line,))


def transistor_gyrator_transfer(stage: Stage, bench: Bench) -> Transfer | None:
    """Nothing drives it: its whole claim is the impedance it shows."""
    return transistor_transfer(bench, gyrator_network(stage, bench))


def _values(network: TransistorNetwork) -> tuple[float, float, float] | None:
    """Series resistance, base resistance and capacitance; None when the shape has none."""
    cluster, line = network.cluster, network.output
    through = [leaf.value for leaf in network.leaves if {leaf.a, leaf.b} == {cluster.bottom, line}]
    held = [leaf.value for leaf in network.leaves if {leaf.a, leaf.b} == {cluster.control, line}]
    base = sum(1.0 / leaf.value for leaf in network.at("bias") if leaf.sort == "R")
    if not through or not held or not base:
        return None
    return through[0], 1.0 / base, held[0]


def transistor_gyrator_numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Inductance and series loss by formula."""
    values = _values(gyrator_network(stage, bench))
    if values is None:
        return ()
    line_ohms, ground_ohms, farads = values
    return (
        Number(
            name="inductance", unit="H", full=None, source=SOURCE,
            closed=inductance_h(line_ohms=line_ohms, ground_ohms=ground_ohms, farads=farads),
        ),
        Number(name="series loss", unit="ohm", closed=line_ohms, full=None, source=SOURCE),
    )  # fmt: skip


def transistor_gyrator_purpose(stage: Stage, bench: Bench) -> str:
    """What it does here, with its number."""
    values = _values(gyrator_network(stage, bench))
    said = (
        "An inductor without a coil: the capacitor keeps the base back, so the emitter answers a change "
        "late, as a coil would."
    )
    if values is None:
        return said
    line_ohms, ground_ohms, farads = values
    henries = inductance_h(line_ohms=line_ohms, ground_ohms=ground_ohms, farads=farads)
    return f"{said} It works like {print_value(henries, 'H')} with {ohms(line_ohms)} in series."


def transistor_gyrator_part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for."""
    words = {
        "transistor": "Repeats the base's voltage at the far end of the series resistor.",
        "gyrator capacitor": "Larger: more inductance.",
        "gyrator resistor": "Larger: more inductance; it also sets where the transistor rests.",
        "series resistor": "Larger: more inductance, but also more loss, so a flatter resonance.",
        "emitter resistor": "Carries the transistor's resting current.",
    }
    return words.get(role_of(stage, ref), "Belongs to the gyrator's network.")
