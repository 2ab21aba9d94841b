"""Any amplifier whose network has no trade name: reduced exactly and named by what it does.

Nothing is guessed: the nodal equations of the amplifier's own parts give the gain from each of its inputs,
and the gain over the band gives the word. A loop that diodes close has no small-signal gain: that is said
instead. A loop that transistors close is told as such.
"""

from collections.abc import Callable, Iterable
from dataclasses import replace

import numpy as np

from pedalwright.stages.active_loop import transistors_in_loop
from pedalwright.stages.amplifier_says import levels_words, revalued_edges, role_of, section_of
from pedalwright.stages.amplifier_shape import Words, members_of, propose
from pedalwright.stages.behaviour import at_hz, behaviour_of
from pedalwright.stages.bench import Bench
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.gyrator_shape import with_coils
from pedalwright.stages.network import AmplifierNetwork
from pedalwright.stages.reduction import amplifier_gains
from pedalwright.stages.stage import ComplexArray, Example, Number, Proposal, Stage, StageKind, Transfer
from pedalwright.stages.wording import listed, named

SOURCE = "exact nodal reduction (Kirchhoff's current law) with an ideal amplifier, no published formula"
KIND_NAME = "general-amplifier"
ORDINALS = ("the first", "the second", "the third", "the fourth", "the fifth", "the sixth")
PART: Words = dict.fromkeys(("R", "C", "L", "D", "knob"), "network part")
SAYS = {
    "flat": "about equally strong over the whole band",
    "low-pass": "the bass more than the treble (a low-pass)",
    "high-pass": "the treble more than the bass (a high-pass)",
    "band-pass": "the middle of the band more than its ends (a band-pass)",
    "band-stop": "the ends of the band more than its middle (a notch or scoop)",
    "silent": "next to nothing",
}


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every amplifier that no other kind has named, with all that hangs on it."""
    for network in claimed.networks():
        branches = {"all": tuple(edge.branch for edge in network.edges)}
        yield propose(claimed, network, KIND_NAME, branches, {"all": PART})


def network_of(stage: Stage, bench: Bench) -> AmplifierNetwork:
    """The amplifier's reduced network."""
    return bench.networks[section_of(stage, bench).ref]


def transfer(stage: Stage, bench: Bench) -> Transfer | None:
    """The nodal reduction; None where the loop is open for small signals."""
    network = network_of(stage, bench)
    amp = network.amplifier
    if not network.inputs or (amp.inv != amp.out and not network.has_linear_feedback):
        return None
    try:
        amplifier_gains(network, at_hz([997.0]))
    except np.linalg.LinAlgError:
        return None
    return Transfer(
        inputs=network.inputs,
        output=stage.output,
        gains=lambda s: amplifier_gains(network, s),
        members=_members(network),
        formula="nodal equations of the stage's own parts",
        source=SOURCE,
    )


def _members(network: AmplifierNetwork) -> frozenset[str]:
    """The parts that carry signal current: those between nets that are both given do not."""
    amp = network.amplifier
    idle = {amp.out, "gnd", *network.inputs}
    alone = amp.inv != amp.out and not [
        edge for edge in network.touching(amp.inv) if edge.other(amp.inv) != amp.out
    ]
    edges = [edge for edge in network.edges if not {edge.a, edge.b} <= idle]
    if alone:
        edges = [edge for edge in edges if amp.inv not in (edge.a, edge.b)]
    return members_of({"all": tuple(edge.branch for edge in edges)})


def _told(stage: Stage, bench: Bench) -> AmplifierNetwork | None:
    """The network whose gains are told: gyrators on it put in; None where there is no small-signal gain."""
    return None if transfer(stage, bench) is None else with_coils(bench, network_of(stage, bench))


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Gain from each input at 1 kHz."""
    network = _told(stage, bench)
    if network is None:
        return ()
    gains = amplifier_gains(network, at_hz([1000.0]))
    return tuple(
        Number(
            name=f"gain at 1 kHz from {net}", unit="x", closed=float(abs(gain[0])), full=None, source=SOURCE
        )
        for net, gain in zip(network.inputs, gains, strict=True)
    )


def purpose(stage: Stage, bench: Bench) -> str:
    """What it does here, with its numbers."""
    network, told = network_of(stage, bench), _told(stage, bench)
    loop = transistors_in_loop(bench.view, bench.classes, network.amplifier)
    if loop and not network.has_linear_feedback:
        return (
            f"The amplifier drives {listed(list(loop))}, and what they do leads back to its inverting "
            "input: it sees to it that voltage or current there follows its other input, whatever the "
            "transistors' own figures are."
        )
    if any(leaf.sort == "D" for leaf in network.leaves) and not network.has_linear_feedback:
        return (
            "A rectifier without a threshold: diodes close the loop one way, and the amplifier makes up "
            "for their voltage, so that even small signals are cut at nothing. At rest the loop is open; "
            "it has no small-signal gain to tell."
        )
    if told is None:
        return "An amplifier that no input drives in this drawing: it rests, or swings by itself."
    return _by_behaviour(told)


def _by_behaviour(network: AmplifierNetwork) -> str:
    gains = [_gain(network, place) for place in range(len(network.inputs))]
    if len(gains) == 1:
        word = SAYS[behaviour_of(gains[0])]
        return f"An amplifier with a network of its own around it. It passes {word}. {levels_words(gains[0])}"
    said = [f"from {ORDINALS[place]}: {SAYS[behaviour_of(gain)]}" for place, gain in enumerate(gains[:6])]
    return (
        f"An amplifier with a network of its own around it and {len(gains)} ways in. It passes, "
        f"{listed(said)}. {levels_words(gains[0])}"
    )


def _gain(network: AmplifierNetwork, place: int) -> Callable[[ComplexArray], ComplexArray]:
    return lambda s: amplifier_gains(network, s)[place]


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for."""
    if role_of(stage, ref) == "amplifier":
        return "Moves its output until what comes back through the network meets what comes in."
    claim = transfer(stage, bench)
    change = _sensitivity(stage, ref, bench) if claim is not None else None
    if change is None:
        return f"{named(bench, ref)} belongs to the network around the amplifier, which has no trade name."
    return (
        f"{named(bench, ref)} belongs to the network around the amplifier, which has no trade name. One "
        f"per cent more of it changes the output at 1 kHz by {change:+.2f} %."
    )


def _sensitivity(stage: Stage, ref: str, bench: Bench) -> float | None:
    """Change of the first gain at 1 kHz, in per cent, for one per cent more of a part; None for a diode."""
    network = with_coils(bench, network_of(stage, bench))
    values = {leaf.name: leaf.value * 1.01 for leaf in network.leaves if leaf.ref == ref and leaf.sort != "D"}
    if not values:
        return None
    edges = revalued_edges(network.edges, values)
    s = at_hz([1000.0])
    before = abs(amplifier_gains(network, s)[0][0])
    after = abs(amplifier_gains(replace(network, edges=edges), s)[0][0])
    return 100.0 * (after / before - 1.0) if before > 0 else None


KIND = StageKind(
    kind=KIND_NAME,
    title="Amplifier with a general network",
    says="Has no trade name: it is reduced exactly, and told by what it does.",
    sources=(SOURCE,),
    order=490,
    group="general",
    roles={
        "amplifier": "moves its output until what comes back meets what comes in",
        "network part": "belongs to the network around the amplifier",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=(
        Example(
            text="""pedal Middle by two Ts
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 dual-opamp TL072 v+=VPOS v-=VNEG
IN > U1a.non > R1 1M > gnd
U1a.inv > U1a.out > R2 47k > U1b.inv
U1b.inv > R3 22k > TOP > R4 22k > U1b.out
TOP > C1 20n > gnd
U1b.inv > C2 10n > LOW > C3 10n > U1b.out
LOW > R5 11k > gnd
U1b.inv > R6 470k > U1b.out
U1b.non > gnd
U1b.out > OUT
""",
            roles={
                "U1b": (KIND_NAME, "amplifier"),
                "R2": (KIND_NAME, "network part"),
                "R3": (KIND_NAME, "network part"),
                "C1": (KIND_NAME, "network part"),
                "R5": (KIND_NAME, "network part"),
            },
        ),
        Example(
            text="""pedal Only the upper half
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 dual-opamp TL072 v+=VPOS v-=VNEG
IN > U1a.non > R1 1M > gnd
U1a.inv > U1a.out > DRY
DRY > R2 10k > U1b.inv
U1b.inv > D1 1N4148 > U1b.out
U1b.out > D2 1N4148 > HALF > R3 10k > U1b.inv
U1b.non > gnd
HALF > OUT
""",
            roles={
                "U1b": (KIND_NAME, "amplifier"),
                "D1": (KIND_NAME, "network part"),
                "R3": (KIND_NAME, "network part"),
            },
        ),
        Example(
            text="""pedal Rising
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=VPOS v-=VNEG
IN > C1 10n > U1.inv
U1.inv > R1 10k || C2 470p > U1.out
U1.non > gnd
U1.out > OUT
""",
            roles={"U1": (KIND_NAME, "amplifier"), "C1": (KIND_NAME, "network part")},
        ),
    ),
    near_misses=(
        Example(
            text="""pedal Has a name
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=VPOS v-=VNEG
IN > R2 10k > C1 10n > U1.inv
U1.inv > R1 10k || C2 470p > U1.out
U1.non > gnd
U1.out > OUT
""",
            roles={"U1": ("inverting-amplifier", "amplifier")},
        ),
    ),
)
