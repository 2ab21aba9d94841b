"""The common-emitter amplifier: a bipolar transistor that turns a small base signal into a large one at its
collector.

Its variants are told under the same name: an emitter partly bypassed or with a gain knob, a base fed from the
collector, a load with a tap, the second of a direct-coupled pair with its feedback resistor, two transistors
as one
(cascode, compound pair), and the common-base stage, whose signal enters at the emitter.
"""

from collections.abc import Iterable

from pedalwright.stages.claimed import Claimed
from pedalwright.stages.stage import Example, Proposal, StageKind
from pedalwright.stages.transistor_cluster import free_clusters
from pedalwright.stages.transistor_gains import HYBRID_PI
from pedalwright.stages.transistor_part_says import part_says
from pedalwright.stages.transistor_says import amplifier_purpose
from pedalwright.stages.transistor_shape import (
    is_common_bottom,
    is_current_source,
    network_around,
    propose_transistor,
    stage_transfer,
)
from pedalwright.stages.transistor_words import BOYLESTAD, MALVINO, transistor_numbers

KIND_NAME = "common-emitter-amplifier"


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free bipolar transistor whose signal leaves on the collector's side."""
    for cluster in free_clusters(claimed.view, claimed.classes, claimed.taken):
        network = network_around(claimed.bench, cluster)
        signal = bool(network.inputs) or cluster.control in network.inner
        signal = signal or is_current_source(claimed, network)
        if cluster.lead.family == "bipolar" and signal and is_common_bottom(claimed, network):
            yield propose_transistor(claimed, network, KIND_NAME)


BOOST = Example(
    text="""pedal Barn door
supply V9 9V wall
input IN pickup
output OUT 1M
part Q1 npn 2N5088
IN > C1 100n > Q1.b
V9 > R1 220k > Q1.b > R2 47k > gnd
V9 > R3 4k7 > Q1.c
Q1.e > R4 100 > FOOT > R5 820 > gnd
FOOT > C2 47u > gnd
Q1.c > C3 100p > Q1.b
Q1.c > C4 1u > OUT
OUT > R6 100k > gnd
""",
    roles={
        "Q1": (KIND_NAME, "transistor"),
        "R3": (KIND_NAME, "collector resistor"),
        "R4": (KIND_NAME, "emitter resistor"),
        "R5": (KIND_NAME, "emitter resistor"),
        "C2": (KIND_NAME, "emitter bypass capacitor"),
        "C3": (KIND_NAME, "feedback capacitor"),
    },
)
POSITIVE_GROUND = Example(
    text="""pedal Upside down
supply NEG -9V battery
input IN pickup
output OUT 1M
part Q1 pnp AC128
knob BITE 1k linear at 6
IN > C1 10n > Q1.b
NEG > R1 470k > Q1.b > R2 68k > gnd
NEG > R3 8k2 > Q1.c
Q1.e > BITE.3
BITE.1 > gnd
BITE.2 > C2 22u > gnd
Q1.c > C3 100n > OUT
OUT > R6 100k > gnd
""",
    roles={
        "Q1": (KIND_NAME, "transistor"),
        "R3": (KIND_NAME, "collector resistor"),
        "BITE": (KIND_NAME, "gain knob"),
        "C2": (KIND_NAME, "emitter bypass capacitor"),
    },
)
FUZZ_PAIR = Example(
    text="""pedal Two hornets
supply V9 9V battery
input IN pickup
output OUT 500k
part Q1 npn BC547B
part Q2 npn BC547B
knob STING 1k linear at 8
IN > C1 2u2 > Q1.b
V9 > R1 27k > Q1.c
Q1.e > gnd
Q1.c > Q2.b
V9 > R2 1k > TAP > R3 6k8 > Q2.c
Q2.e > STING.3
STING.1 > gnd
STING.2 > C2 22u > gnd
Q2.e > R4 82k > Q1.b
TAP > C3 22n > OUT
OUT > R5 220k > gnd
""",
    roles={
        "Q1": (KIND_NAME, "transistor"),
        "R1": (KIND_NAME, "collector resistor"),
        "Q2": (KIND_NAME, "transistor"),
        "R2": (KIND_NAME, "collector resistor"),
        "R3": (KIND_NAME, "collector resistor"),
        "R4": (KIND_NAME, "bias feedback resistor"),
        "STING": (KIND_NAME, "gain knob"),
        "C2": (KIND_NAME, "emitter bypass capacitor"),
    },
)
SELF_BIASED = Example(
    text="""pedal Own rest
supply V9 9V wall
input IN line
output OUT 100k
part Q1 npn 2N3904
IN > C1 1u > R1 10k > Q1.b
Q1.c > R2 470k > Q1.b
V9 > R3 4k7 || C3 1n > Q1.c
Q1.e > gnd
Q1.c > C2 1u > OUT
""",
    roles={
        "Q1": (KIND_NAME, "transistor"),
        "R1": (KIND_NAME, "base resistor"),
        "R2": (KIND_NAME, "bias feedback resistor"),
        "R3": (KIND_NAME, "collector resistor"),
        "C3": (KIND_NAME, "load capacitor"),
    },
)
CASCODE = Example(
    text="""pedal Ladder of two
supply V9 9V wall
input IN line
output OUT 100k
part Q1 npn 2N3904
part Q2 npn 2N3904
IN > C1 1u > Q1.b
V9 > R1 68k > Q1.b > R2 15k > gnd
V9 > R3 10k > HOLD > R4 8k2 > gnd
HOLD > C2 47u > gnd
Q2.b > HOLD
Q2.e > Q1.c
V9 > R5 2k2 > Q2.c
Q1.e > R6 1k > gnd
Q2.c > C3 1u > OUT
""",
    roles={
        "Q1": (KIND_NAME, "transistor"),
        "Q2": (KIND_NAME, "transistor"),
        "R5": (KIND_NAME, "collector resistor"),
        "R6": (KIND_NAME, "emitter resistor"),
    },
)
COMMON_BASE = Example(
    text="""pedal Back door
supply V9 9V wall
input IN line
output OUT 100k
part Q1 npn 2N3904
V9 > R1 22k > HOLD > R2 6k8 > gnd
HOLD > C1 47u > gnd
Q1.b > HOLD
IN > C2 10u > Q1.e
Q1.e > R3 1k5 > gnd
V9 > R4 3k3 > Q1.c
Q1.c > C3 1u > OUT
""",
    roles={
        "Q1": (KIND_NAME, "transistor"),
        "R3": (KIND_NAME, "emitter resistor"),
        "R4": (KIND_NAME, "collector resistor"),
    },
)
FED_BACK_PAIR = Example(
    text="""pedal Two who agree
supply V9 9V wall
input IN pickup
output OUT 100k
part Q1 npn 2N5088
part Q2 pnp 2N5087
IN > C1 47n > Q1.b
V9 > R1 1M > Q1.b > R2 220k > gnd
V9 > R3 6k8 > Q1.c
Q1.c > Q2.b
Q2.e > R4 1k > V9
Q2.c > R5 4k7 > gnd
Q1.e > R6 470 > gnd
Q2.c > R7 22k > Q1.e
Q2.c > C2 1u > OUT
""",
    roles={
        "Q1": (KIND_NAME, "transistor"),
        "R6": (KIND_NAME, "emitter resistor"),
        "R7": (KIND_NAME, "feedback resistor"),
        "Q2": (KIND_NAME, "transistor"),
        "R5": (KIND_NAME, "collector resistor"),
    },
)
FOLLOWER_LOOK_ALIKE = Example(
    text="""pedal Not turned over
supply V9 9V wall
input IN line
output OUT 100k
part Q1 npn 2N3904
IN > C1 1u > Q1.b
V9 > R1 100k > Q1.b > R2 120k > gnd
V9 > R3 100 > Q1.c
Q1.e > R4 4k7 > gnd
Q1.e > C2 1u > OUT
""",
    roles={"Q1": ("emitter-follower", "transistor")},
)

KIND = StageKind(
    kind=KIND_NAME,
    title="Common-emitter amplifier",
    says="Turns a small signal at a transistor's base into a large one at its collector, upside down.",
    sources=(BOYLESTAD, MALVINO, HYBRID_PI),
    order=540,
    group="amplifier",
    roles={
        "transistor": "steers the current of the load",
        "collector resistor": "turns the current into the output voltage",
        "emitter resistor": "holds the resting current and the gain",
        "emitter bypass capacitor": "lets the signal past the emitter resistor",
        "bias feedback resistor": "feeds a base from a voltage that falls when it gets too much",
        "feedback resistor": "leads part of the output back",
        "feedback capacitor": "leads treble back to the base",
        "load capacitor": "lets treble fall at the collector",
        "base resistor": "stands between the signal and the base",
        "gain knob": "moves the gain",
        "bias trim": "sets where the collector rests",
    },
    find=find,
    purpose=amplifier_purpose,
    part_says=part_says,
    numbers=transistor_numbers,
    transfer=stage_transfer,
    examples=(BOOST, POSITIVE_GROUND, FUZZ_PAIR, SELF_BIASED, CASCODE, COMMON_BASE, FED_BACK_PAIR),
    near_misses=(FOLLOWER_LOOK_ALIKE,),
)
