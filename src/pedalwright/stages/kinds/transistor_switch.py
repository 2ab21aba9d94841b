"""The transistor switch: a transistor that is off or fully on, to light a lamp or to short a signal."""

from collections.abc import Iterable

from pedalwright.stages.bench import Bench
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.stage import Example, Number, Proposal, Role, Stage, StageKind
from pedalwright.stages.switching import control_resistors, drives_a_lamp, lamps_on
from pedalwright.stages.transistor_cluster import clusters
from pedalwright.stages.transistor_rest import resting_a
from pedalwright.stages.transistor_shape import network_around, role_of
from pedalwright.stages.view import Transistor
from pedalwright.stages.wording import listed, named, volts
from pedalwright.units.values import print_value

KIND_NAME = "transistor-switch"
SOURCE = "rest point of the circuit"


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free transistor with a lamp for its load, or whose collector nothing feeds while its emitter
    stands still.
    """
    unfed = _unfed(claimed)
    for item in claimed.view.transistors:
        if claimed.free(item.ref) and (_lights(claimed, item) or item.ref in unfed):
            leaves = control_resistors(claimed.view, claimed.classes, item)
            word = "base resistor" if item.family == "bipolar" else "gate resistor"
            yield Proposal(
                kind=KIND_NAME,
                roles=(
                    Role(item.ref, "switching transistor"),
                    *(Role(leaf.ref, word) for leaf in leaves if claimed.free(leaf.ref)),
                ),
                nets={"control": item.control, "top": item.top, "bottom": item.bottom},
            )


def _lights(claimed: Claimed, item: Transistor) -> bool:
    view, classes = claimed.view, claimed.classes
    return (
        classes.is_still(item.bottom)
        and not classes.is_still(item.top)
        and drives_a_lamp(view, classes, item)
    )


def _unfed(claimed: Claimed) -> frozenset[str]:
    """Bipolar transistors between a signal net and a steady one, without a direct current of their own."""
    found = set()
    for cluster in clusters(claimed.view, claimed.classes):
        still = claimed.classes.is_still
        if cluster.lead.family != "bipolar" or cluster.shape != "single" or still(cluster.top):
            continue
        if still(cluster.bottom) and not still(cluster.control):
            network = network_around(claimed.bench, cluster)
            if not network.fed and not network.at("bridge"):
                found.add(cluster.lead.ref)
    return frozenset(found)


def _transistor(stage: Stage, bench: Bench) -> Transistor:
    ref = stage.with_role("switching transistor")[0]
    return next(item for item in bench.view.transistors if item.ref == ref)


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Current and remaining voltage at rest."""
    item = _transistor(stage, bench)
    flow = resting_a(bench, item)
    top, bottom = bench.volts(item.top), bench.volts(item.bottom)
    if flow is None or top is None or bottom is None:
        return ()
    return (
        Number(name="switched current at rest", unit="A", closed=None, full=flow, source=SOURCE),
        Number(
            name="voltage across the switch", unit="V", closed=None, full=abs(top - bottom), source=SOURCE
        ),
    )


def purpose(stage: Stage, bench: Bench) -> str:
    """What it switches, and how it stands as drawn."""
    item = _transistor(stage, bench)
    lamps = lamps_on(bench.view, bench.classes, item.top)
    what = (
        f"lights {listed([named(bench, ref) for ref in lamps])}"
        if lamps
        else "shorts a signal to a steady net"
    )
    flow, top, bottom = resting_a(bench, item), bench.volts(item.top), bench.volts(item.bottom)
    said = (
        f"A switch without a lever: when its {_control(item)} is told to, the transistor conducts and {what}."
    )
    if flow is None or top is None or bottom is None:
        return said
    return f"{said} As drawn {print_value(flow, 'A')} flow, with {volts(abs(top - bottom))} left across it."


def _control(item: Transistor) -> str:
    return "base" if item.family == "bipolar" else "gate"


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for."""
    item = _transistor(stage, bench)
    if role_of(stage, ref) == "switching transistor":
        return (
            f"A small {_control(item)} signal lets a larger current flow, so that what commands it need not "
            "supply it."
        )
    if item.family == "bipolar":
        return "Limits the base current: a base straight at a voltage source would burn out."
    return "Keeps a fast edge from ringing at the gate; no current flows in it at rest."


LAMP = Example(
    text="""pedal Lighthouse keeper
supply V9 9V wall
input IN line
output OUT 100k
part Q1 npn 2N3904
part U1 opamp TL071 v+=V9 v-=gnd
V9 > R1 100k > VB > R2 100k > gnd
VB > C1 47u > gnd
IN > C2 100n > U1.non
U1.non > R3 1M > VB
U1.out > U1.inv
U1.out > R4 10k > Q1.b
Q1.e > gnd
V9 > D1 red (led) > R5 1k > Q1.c
U1.out > C3 1u > OUT
""",
    roles={"Q1": ("indicator", "switching transistor"), "R4": ("indicator", "base resistor")},
)
MUTE = Example(
    text="""pedal Hush
supply V9 9V wall
input IN line
output OUT 100k
part Q1 npn 2N3904
IN > C1 1u > R1 10k > OUT
OUT > R2 100k > gnd
Q1.c > OUT
Q1.e > gnd
V9 > R3 100k > Q1.b
""",
    roles={"Q1": (KIND_NAME, "switching transistor")},
)
CELL = Example(
    text="""pedal Shutter
supply V9 9V wall
input IN line
output OUT 100k
part Q1 npn 2N3904
part U1 opamp TL071 v+=V9 v-=gnd
part U2 optocoupler ohms=2k
V9 > R1 100k > VB > R2 100k > gnd
VB > C1 47u > gnd
IN > C2 100n > R6 22k > MID
MID > U2.r1
U2.r2 > VB
MID > U1.non
U1.out > U1.inv
V9 > R7 47k > R4 10k > Q1.b
Q1.e > gnd
V9 > R5 1k > U2.led+
U2.led- > Q1.c
U1.out > C3 1u > OUT
""",
    roles={"Q1": (KIND_NAME, "switching transistor")},
)
AMPLIFIER_LOOK_ALIKE = Example(
    text="""pedal Not a switch
supply V9 9V wall
input IN line
output OUT 100k
part Q1 npn 2N3904
IN > C1 1u > Q1.b
Q1.c > R1 470k > Q1.b
V9 > R2 4k7 > Q1.c
Q1.e > gnd
Q1.c > C2 1u > OUT
""",
    roles={"Q1": ("common-emitter-amplifier", "transistor")},
)

KIND = StageKind(
    kind=KIND_NAME,
    title="Transistor switch",
    says="Lets a small current command a larger one: off or fully on.",
    sources=(SOURCE,),
    order=515,
    group="control",
    roles={
        "switching transistor": "is off or fully on",
        "base resistor": "limits the base current",
        "gate resistor": "keeps the gate from ringing",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    examples=(MUTE, CELL),
    near_misses=(LAMP, AMPLIFIER_LOOK_ALIKE),
)
