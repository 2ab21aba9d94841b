"""The comparator: no feedback, so the output stands at one end or the other, whichever input is higher."""

from collections.abc import Iterable

from pedalwright.stages.active_loop import transistors_in_loop
from pedalwright.stages.bench import Bench
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.network import AmplifierNetwork
from pedalwright.stages.stage import Example, Number, Proposal, Role, Stage, StageKind
from pedalwright.stages.wording import volts

SOURCE = "Coughlin and Driscoll, Operational Amplifiers and Linear Integrated Circuits, ch. 2 (comparators)"
KIND_NAME = "comparator"


def _is_one(claimed: Claimed, network: AmplifierNetwork) -> bool:
    amp = network.amplifier
    return (
        amp.inv != amp.out
        and not network.has_negative_feedback
        and not network.has_positive_feedback
        and not transistors_in_loop(claimed.view, claimed.classes, amp)
    )


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free amplifier from whose output nothing leads back to its inputs."""
    for network in claimed.networks():
        amp = network.amplifier
        if _is_one(claimed, network):
            moving = tuple(net for net in (amp.non, amp.inv) if not claimed.classes.is_still(net))
            yield Proposal(
                kind=KIND_NAME,
                roles=(Role(amp.ref, "amplifier"),),
                inputs=moving,
                output=amp.out,
                nets={"inverting": amp.inv, "non-inverting": amp.non},
            )


def _threshold(stage: Stage, bench: Bench) -> float | None:
    """The resting voltage of the input that stands still, if one does."""
    still = [
        net for net in (stage.nets["inverting"], stage.nets["non-inverting"]) if bench.classes.is_still(net)
    ]
    return bench.volts(still[0]) if len(still) == 1 else None


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The voltage at which it turns over."""
    threshold = _threshold(stage, bench)
    if threshold is None:
        return ()
    return (Number(name="threshold", unit="V", closed=None, full=threshold, source=SOURCE),)


def purpose(stage: Stage, bench: Bench) -> str:
    """What it does here."""
    threshold = _threshold(stage, bench)
    at = f" of {volts(threshold)}" if threshold is not None else ""
    if bench.classes.is_still(stage.nets["inverting"]):
        return (
            f"Tells whether its input stands above the threshold{at}: the output stands high when it "
            "does, low when it does not, and never between."
        )
    if bench.classes.is_still(stage.nets["non-inverting"]):
        return (
            f"Tells whether its input stands below the threshold{at}: the output stands high when it "
            "does, low when it does not, and never between."
        )
    return (
        "Tells which of its two inputs stands higher: the output stands high when the non-inverting one "
        "does, else low, and never between."
    )


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What the amplifier is for."""
    return (
        "Nothing leads back from its output, so the smallest difference between its inputs sends it to "
        "one end."
    )


KIND = StageKind(
    kind=KIND_NAME,
    title="Comparator",
    says="Tells which of two voltages is higher.",
    sources=(SOURCE,),
    order=480,
    group="oscillator",
    roles={"amplifier": "goes high or low as its inputs compare"},
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    examples=(
        Example(
            text="""pedal Too loud lamp
supply V9 9V wall
input IN line
output OUT 100k
part U1 dual-opamp TL072 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
V9 > R3 10k > LIMIT > R4 22k > gnd
LIMIT > C2 10u > gnd
IN > C3 22n > U1a.non > R5 1M > VB
U1a.inv > U1a.out > C4 1u > OUT
OUT > R6 100k > gnd
U1a.out > U1b.non
LIMIT > U1b.inv
U1b.out > R7 2k2 > D1 red > gnd
""",
            roles={"U1b": (KIND_NAME, "amplifier"), "U1a": ("voltage-follower", "amplifier")},
        ),
    ),
    near_misses=(
        Example(
            text="""pedal Lamp that follows
supply V9 9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
part Q1 npn 2N3904
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 22n > U1.non > R3 1M > VB
IN > OUT
U1.out > R4 1k > Q1.b
V9 > D1 red > Q1.c
Q1.e > R5 1k > gnd
Q1.e > U1.inv
""",
            roles={"U1": ("*", "amplifier")},
        ),
    ),
)
