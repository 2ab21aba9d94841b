"""The source follower: a field-effect transistor that repeats its gate's signal and takes no current
for it.
"""

from collections.abc import Iterable

from pedalwright.stages.claimed import Claimed
from pedalwright.stages.stage import Example, Proposal, StageKind
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
from pedalwright.stages.transistor_words import JFET_BOOK, transistor_numbers

KIND_NAME = "source-follower"


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free field-effect transistor whose signal leaves at the source while the drain is fed."""
    for cluster in free_clusters(claimed.view, claimed.classes, claimed.taken):
        network = network_around(claimed.bench, cluster)
        if cluster.lead.family == "fet" and is_follower(claimed, network):
            yield propose_transistor(claimed, network, KIND_NAME)


PLAIN = Example(
    text="""pedal Hall porter
supply V9 9V battery
input IN pickup
output OUT 100k
part Q1 n-jfet J201
V9 > R1 220k > VB > R2 220k > gnd
VB > C1 10u > gnd
IN > C2 10n > R5 1k > Q1.g
Q1.g > R3 2M2 > VB
Q1.d > V9
Q1.s > R4 10k > gnd
Q1.s > C3 2u2 > OUT
""",
    roles={
        "Q1": (KIND_NAME, "transistor"),
        "R4": (KIND_NAME, "source resistor"),
        "R5": (KIND_NAME, "gate resistor"),
    },
)
LOADED = Example(
    text="""pedal Two porters
supply V9 9V battery
input IN pickup
output OUT 100k
part Q1 n-jfet 2N5457
part Q2 npn 2N3904
V9 > R1 220k > VB > R2 220k > gnd
VB > C1 10u > gnd
IN > C2 10n > Q1.g
Q1.g > R3 2M2 > VB
Q1.d > V9
Q1.s > Q2.b
Q2.c > V9
Q2.e > R4 4k7 > gnd
Q1.s > R5 47k > gnd
Q2.e > C3 2u2 > OUT
""",
    roles={"Q1": (KIND_NAME, "transistor"), "R5": (KIND_NAME, "source resistor")},
)
AMPLIFIER_LOOK_ALIKE = Example(
    text="""pedal Not a porter
supply V9 9V battery
input IN pickup
output OUT 100k
part Q1 n-jfet J201
IN > C1 10n > Q1.g
Q1.g > R1 1M > gnd
V9 > R2 22k > Q1.d
Q1.s > R3 1k5 > gnd
Q1.d > C2 100n > OUT
""",
    roles={"Q1": ("common-source-amplifier", "transistor")},
)

KIND = StageKind(
    kind=KIND_NAME,
    title="Source follower",
    says="Repeats a signal at nearly the same level without taking current from its source.",
    sources=(JFET_BOOK, HYBRID_PI),
    order=525,
    group="amplifier",
    roles={
        "transistor": "repeats its gate's voltage with current to spare",
        "source resistor": "carries the resting current",
        "drain resistor": "keeps the drain current within bounds",
        "bootstrap capacitor": "lets the bias resistor's ends move alike",
        "gate resistor": "stands between the signal and the gate",
        "load capacitor": "smooths the output",
        "gain knob": "carries the resting current",
        "bias trim": "sets where the source rests",
    },
    find=find,
    purpose=follower_purpose,
    part_says=part_says,
    numbers=transistor_numbers,
    transfer=stage_transfer,
    examples=(PLAIN, LOADED),
    near_misses=(AMPLIFIER_LOOK_ALIKE,),
)
