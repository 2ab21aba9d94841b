"""The emitter follower: a bipolar transistor that repeats its base's signal at the emitter, with current to
spare.
"""

from collections.abc import Iterable

from pedalwright.stages.bench import Bench
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.nets import pushed_followers
from pedalwright.stages.stage import Example, Number, Proposal, Role, Stage, StageKind, Transfer
from pedalwright.stages.transistor_cluster import free_clusters
from pedalwright.stages.transistor_gains import HYBRID_PI
from pedalwright.stages.transistor_part_says import part_says
from pedalwright.stages.transistor_says import follower_purpose
from pedalwright.stages.transistor_shape import (
    is_follower,
    network_around,
    propose_transistor,
    stage_transfer,
)
from pedalwright.stages.transistor_words import BOYLESTAD, transistor_numbers
from pedalwright.stages.view import Amplifier
from pedalwright.stages.wording import listed, named, volts

KIND_NAME = "emitter-follower"


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free bipolar transistor whose signal leaves at the emitter while the collector is fed."""
    for cluster in free_clusters(claimed.view, claimed.classes, claimed.taken):
        network = network_around(claimed.bench, cluster)
        if cluster.lead.family == "bipolar" and is_follower(claimed, network):
            yield propose_transistor(claimed, network, KIND_NAME)
    for net in claimed.classes.bias:
        for amp in pushed_followers(claimed.view, net):
            yield from _holders(claimed, net, amp)


def _holders(claimed: Claimed, net: str, amp: Amplifier) -> Iterable[Proposal]:
    """The transistors through which an amplifier holds a bias net, with the resistor before their bases."""
    own = [item for item in claimed.view.transistors if item.bottom == net and claimed.free(item.ref)]
    bases = {item.control for item in own}
    stops = [leaf for leaf in claimed.free_on(amp.out) if leaf.sort == "R" and leaf.other(amp.out) in bases]
    if own:
        roles = [Role(item.ref, "transistor") for item in own]
        roles += [Role(leaf.ref, "base resistor") for leaf in stops]
        branches = {"network": tuple(stops)}
        yield Proposal(kind=KIND_NAME, roles=tuple(roles), output=net, branches=branches, nets={"held": net})


def _purpose(stage: Stage, bench: Bench) -> str:
    """What a follower of signals or of a bias does."""
    if "held" not in stage.nets:
        return follower_purpose(stage, bench)
    rest = bench.volts(stage.output)
    at = f" of {volts(rest)}" if rest is not None else ""
    said = listed([named(bench, ref) for ref in stage.with_role("transistor")])
    return (
        f"{said} carry the current of the resting voltage{at}, so that the amplifier that holds it need not: "
        "one gives current, the other takes it."
    )


def _part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part of either is for."""
    if "held" not in stage.nets:
        return part_says(stage, ref, bench)
    if ref in stage.with_role("base resistor"):
        return f"{named(bench, ref)} stands before the bases and keeps the amplifier's loop from ringing."
    return "Carries the current that the stages resting here draw or give, for a small part at its base."


def _numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Figures of a follower of signals; of one that holds a bias its resting voltage."""
    if "held" not in stage.nets:
        return transistor_numbers(stage, bench)
    rest = bench.volts(stage.output)
    return (Number(name="bias voltage", unit="V", closed=None, full=rest, source="rest point"),)


def _transfer(stage: Stage, bench: Bench) -> Transfer | None:
    """The exact claim; None for one that holds a bias still."""
    return None if "held" in stage.nets else stage_transfer(stage, bench)


PLAIN = Example(
    text="""pedal Doormat
supply V9 9V wall
input IN pickup
output OUT 100k
part Q1 npn 2N5088
V9 > R1 100k > VB > R2 100k > gnd
VB > C1 47u > gnd
IN > C2 47n > Q1.b
Q1.b > R3 470k > VB
Q1.c > V9
Q1.e > R4 6k8 > gnd
Q1.e > C3 1u > OUT
""",
    roles={"Q1": (KIND_NAME, "transistor"), "R4": (KIND_NAME, "emitter resistor")},
)
LIFTED = Example(
    text="""pedal Own bootlaces
supply V9 9V wall
input IN pickup
output OUT 100k
part Q1 npn 2N5088
V9 > R1 100k > LIFT > R2 120k > gnd
LIFT > R3 100k > Q1.b
Q1.e > C1 10u > LIFT
IN > C2 100n > Q1.b
V9 > R5 220 > Q1.c
Q1.e > R4 4k7 > gnd
Q1.e > C3 1u > OUT
""",
    roles={
        "Q1": (KIND_NAME, "transistor"),
        "R4": (KIND_NAME, "emitter resistor"),
        "R5": (KIND_NAME, "collector resistor"),
        "C1": (KIND_NAME, "bootstrap capacitor"),
    },
)
COMPOUND = Example(
    text="""pedal Big shoulders
supply V9 9V wall
input IN line
output OUT 10k
part Q1 npn 2N3904
part Q2 npn 2N3904
IN > C1 100n > Q1.b
V9 > R1 1M > Q1.b > R2 2M2 > gnd
Q1.c > V9
Q1.e > Q2.b
Q2.c > V9
Q2.e > R3 1k > gnd
Q2.e > C2 10u > OUT
""",
    roles={
        "Q1": (KIND_NAME, "transistor"),
        "Q2": (KIND_NAME, "transistor"),
        "R3": (KIND_NAME, "emitter resistor"),
    },
)
AMPLIFIER_LOOK_ALIKE = Example(
    text="""pedal Turned over
supply V9 9V wall
input IN line
output OUT 100k
part Q1 npn 2N3904
IN > C1 1u > Q1.b
V9 > R1 100k > Q1.b > R2 22k > gnd
V9 > R3 3k3 > Q1.c
Q1.e > R4 1k > gnd
Q1.c > C2 1u > OUT
""",
    roles={"Q1": ("common-emitter-amplifier", "transistor")},
)
STEADY_LEG = Example(
    text="""pedal Steady leg
supply V9 9V wall
input IN pickup
output OUT 100k
part Q1 npn 2N3904
part Q2 npn 2N3904
IN > C1 100n > B
V9 > R1 470k > B > R2 560k > gnd
B > R3 1k > Q1.b
Q1.c > V9
Q1.e > Q2.c
Q2.e > R4 470 > gnd
V9 > R5 10k > REF > D1 1N4148 > D2 1N4148 > gnd
REF > Q2.b
Q1.e > C2 10u > OUT
OUT > R6 100k > gnd
""",
    roles={
        "Q1": (KIND_NAME, "transistor"),
        "R3": (KIND_NAME, "base resistor"),
        "R1": ("bias-divider", "upper divider resistor"),
        "R2": ("bias-divider", "lower divider resistor"),
        "Q2": ("common-emitter-amplifier", "transistor"),
        "R4": ("common-emitter-amplifier", "emitter resistor"),
        "R5": ("bias-divider", "upper divider resistor"),
        "D1": ("bias-divider", "reference diode"),
        "D2": ("bias-divider", "reference diode"),
    },
)
STRONG_MIDDLE = Example(
    text="""pedal Strong middle
supply V9 18V wall
input IN line
output OUT 100k
part U1 dual-opamp TL072 v+=V9 v-=gnd
part Q1 npn 2N2222
part Q2 pnp 2N3906
V9 > C1 470u > gnd
V9 > R1 47k > M > R2 47k > gnd
M > C2 10u > gnd
M > U1a.non
U1a.out > R3 1k > BASES
BASES > Q1.b
BASES > Q2.b
Q1.c > V9
Q1.e > VG
Q2.e > VG
Q2.c > gnd
VG > U1a.inv
VG > C3 47u > gnd
IN > C4 220n > U1b.non > R4 470k > VG
U1b.inv > U1b.out
U1b.out > C5 1u > OUT
""",
    roles={
        "U1a": ("voltage-follower", "amplifier"),
        "Q1": (KIND_NAME, "transistor"),
        "Q2": (KIND_NAME, "transistor"),
        "R3": (KIND_NAME, "base resistor"),
        "C3": ("bias-filter", "bias filter capacitor"),
        "R4": ("bias-feed", "bias feed resistor"),
    },
)


KIND = StageKind(
    kind=KIND_NAME,
    title="Emitter follower",
    says="Repeats a signal at the same level, taking little from its source and driving much.",
    sources=(BOYLESTAD, HYBRID_PI),
    order=520,
    group="amplifier",
    roles={
        "transistor": "repeats its base's voltage with current to spare",
        "emitter resistor": "carries the resting current",
        "collector resistor": "keeps the collector current within bounds",
        "bootstrap capacitor": "lets the bias resistor's ends move alike",
        "base resistor": "stands between the signal and the base",
        "load capacitor": "smooths the output",
        "gain knob": "carries the resting current",
        "bias trim": "sets where the emitter rests",
    },
    find=find,
    purpose=_purpose,
    part_says=_part_says,
    numbers=_numbers,
    transfer=_transfer,
    examples=(PLAIN, LIFTED, COMPOUND, STEADY_LEG, STRONG_MIDDLE),
    near_misses=(AMPLIFIER_LOOK_ALIKE,),
)
