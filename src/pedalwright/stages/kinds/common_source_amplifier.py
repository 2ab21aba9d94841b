"""The common-source amplifier: a field-effect transistor that amplifies without taking current from the
source of the signal.
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
from pedalwright.stages.transistor_words import JFET_BOOK, transistor_numbers

KIND_NAME = "common-source-amplifier"


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free field-effect transistor whose signal leaves on the drain's side."""
    for cluster in free_clusters(claimed.view, claimed.classes, claimed.taken):
        network = network_around(claimed.bench, cluster)
        signal = bool(network.inputs) or cluster.control in network.inner
        signal = signal or is_current_source(claimed, network)
        if cluster.lead.family == "fet" and signal and is_common_bottom(claimed, network):
            yield propose_transistor(claimed, network, KIND_NAME)


JUNCTION = Example(
    text="""pedal Reed pipe
supply V9 9V battery
input IN pickup
output OUT 1M
part Q1 n-jfet J201
trim REST 50k linear at 7
IN > C1 10n > Q1.g
Q1.g > R1 1M > gnd
V9 > REST.3
REST.1 > REST.2 > Q1.d
Q1.s > R2 1k > gnd
Q1.s > C2 22u > gnd
Q1.d > C3 100n > OUT
""",
    roles={
        "Q1": (KIND_NAME, "transistor"),
        "REST": (KIND_NAME, "bias trim"),
        "R2": (KIND_NAME, "source resistor"),
        "C2": (KIND_NAME, "source bypass capacitor"),
    },
)
INSULATED = Example(
    text="""pedal Glass floor
supply V9 9V wall
input IN pickup
output OUT 1M
part Q1 n-mosfet 2N7000
knob PUSH 5k linear at 4
IN > C1 10n > R7 1k > Q1.g
V9 > R1 1M > Q1.g > R2 470k > gnd
V9 > R3 4k7 > Q1.d
Q1.s > R4 1k > gnd
Q1.s > C2 10u > PUSH.3
PUSH.2 > PUSH.1 > gnd
Q1.d > C3 100n > OUT
""",
    roles={
        "Q1": (KIND_NAME, "transistor"),
        "R3": (KIND_NAME, "drain resistor"),
        "R4": (KIND_NAME, "source resistor"),
        "R7": (KIND_NAME, "gate resistor"),
        "PUSH": (KIND_NAME, "gain knob"),
        "C2": (KIND_NAME, "source bypass capacitor"),
    },
)
CHANNEL_AS_RESISTOR = Example(
    text="""pedal Soft gate
supply V9 9V wall
input IN line
output OUT 100k
part Q1 n-jfet 2N5457
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 1u > R3 47k > MID > R4 1M > VB
Q1.d > MID
Q1.s > VB
Q1.g > R5 1M > gnd
MID > C3 1u > OUT
""",
    roles={"Q1": ("*", "*")},
)
UPPER_HAND = Example(
    text="""pedal Upper hand
supply V9 18V wall
input IN pickup
output OUT 1M
part Q1 n-jfet J201
part Q2 n-jfet J201
IN > C1 22n > Q1.g
Q1.g > R1 1M > gnd
Q1.s > R2 680 > gnd
Q1.s > C2 47u > gnd
Q1.d > R3 1k > MID
Q2.s > MID
Q2.d > V9
Q1.d > C3 47n > Q2.g
Q2.g > R4 1M > MID
MID > C4 220n > OUT
OUT > R5 1M > gnd
""",
    roles={
        "Q1": (KIND_NAME, "transistor"),
        "R3": (KIND_NAME, "drain resistor"),
        "Q2": ("source-follower", "transistor"),
        "C3": ("dc-blocking", "dc-blocking capacitor"),
        "R4": ("bias-feed", "bias feed resistor"),
    },
)


KIND = StageKind(
    kind=KIND_NAME,
    title="Common-source amplifier",
    says=(
        "Turns a small signal at a gate, from which it takes no current, into a larger one at the drain, "
        "upside down."
    ),
    sources=(JFET_BOOK, HYBRID_PI),
    order=545,
    group="amplifier",
    roles={
        "transistor": "steers the current of the load",
        "drain resistor": "turns the current into the output voltage",
        "source resistor": "sets the resting current by itself",
        "source bypass capacitor": "lets the signal past the source resistor",
        "gate resistor": "stands between the signal and the gate",
        "bias feedback resistor": "feeds the gate from the drain",
        "feedback resistor": "leads part of the output back",
        "feedback capacitor": "leads treble back to the gate",
        "load capacitor": "lets treble fall at the drain",
        "gain knob": "moves the gain",
        "bias trim": "sets where the drain rests",
    },
    find=find,
    purpose=amplifier_purpose,
    part_says=part_says,
    numbers=transistor_numbers,
    transfer=stage_transfer,
    examples=(JUNCTION, INSULATED, UPPER_HAND),
    near_misses=(CHANNEL_AS_RESISTOR,),
)
