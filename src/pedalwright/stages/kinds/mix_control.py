"""The mix control: a knob with a signal at each end; its wiper takes more of the one or of the other."""

from collections.abc import Iterable

from pedalwright.stages.bench import Bench
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.interstage import Interstage
from pedalwright.stages.passive import MILLMAN, star_transfer
from pedalwright.stages.stage import Example, Number, Proposal, Role, Stage, StageKind, Transfer
from pedalwright.stages.wording import ohms, times

KIND_NAME = "mix-control"
ROLE = "mix knob"


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Free knobs with three different moving nets on their lugs."""
    inter = Interstage(claimed)
    for part in claimed.view.parts_of("knob"):
        ends = claimed.view.knob_nets(part)
        halves = tuple(leaf for leaf in inter.leaves if leaf.ref == part.ref)
        if len(halves) != 2 or len(set(ends)) < 3 or any(inter.still(end) for end in ends):
            continue
        shares_out = all(inter.flow.upstream_end(leaf) == ends[1] for leaf in halves)
        yield Proposal(
            kind=KIND_NAME,
            roles=(Role(part.ref, ROLE),),
            inputs=(ends[1],) if shares_out else (ends[0], ends[2]),
            output=_chief_end(inter, part.ref, ends) if shares_out else ends[1],
            branches={"halves": halves},
        )


def _chief_end(inter: Interstage, ref: str, ends: tuple[str, str, str]) -> str:
    """Of two ends that a wiper feeds, the one that leads to the output jack; the first when both or neither
    do.
    """
    goal = inter.claimed.view.output_net
    leading = [
        end for end in (ends[0], ends[2]) if goal in inter.flow.reaches(end, without=frozenset({ref}))[0]
    ]
    return leading[0] if leading else ends[0]


def transfer(stage: Stage, bench: Bench) -> Transfer:
    """A star of the two halves at the wiper."""
    return star_transfer(
        arms=[
            (leaf.other(stage.output), leaf)
            for leaf in stage.leaves("halves")
            if stage.output in (leaf.a, leaf.b)
        ],
        shunts=(),
        output=stage.output,
        formula="H = share of the track towards the other end; load counted by its current",
        source=MILLMAN,
    )


def shares(stage: Stage) -> tuple[float, ...]:
    """What the wiper takes from each input, without load."""
    if len(stage.inputs) == 1:
        return (1.0,)
    total = sum(leaf.value for leaf in stage.leaves("halves"))
    near = {leaf.other(stage.output): leaf.value for leaf in stage.leaves("halves")}
    return tuple((total - near[net]) / total for net in stage.inputs)


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The share of each signal."""
    return tuple(
        Number(name=f"share of {net}", unit="x", closed=value, full=None, source=MILLMAN, note="without load")
        for net, value in zip(stage.inputs, shares(stage), strict=True)
    )


def purpose(stage: Stage, bench: Bench) -> str:
    """What it mixes in which shares."""
    if len(stage.inputs) == 1:
        return (
            f"{stage.roles[0].ref} leads one signal to two places: the nearer its wiper stands to an end, "
            "the more that end gets and the less the other."
        )
    first, second = shares(stage)
    return (
        f"{stage.roles[0].ref} moves from one signal to the other: now the wiper takes {times(first)} of "
        f"{stage.inputs[0]} "
        f"and {times(second)} of {stage.inputs[1]}."
    )


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What the knob is for."""
    value = bench.view.circuit.by_ref[ref].value or 0.0
    if len(stage.inputs) == 1:
        return f"Shares the signal between its two ends; its track of {ohms(value)} lies between the two."
    return (
        f"Mixes the signals at its two ends. Each of them drives the track of {ohms(value)} towards the "
        "other."
    )


KIND = StageKind(
    kind=KIND_NAME,
    title="Mix control",
    says="Moves from one signal to another.",
    sources=(MILLMAN,),
    order=710,
    group="control",
    roles={ROLE: "takes more of one signal or of the other"},
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=(
        Example(
            text="""pedal Two signals
supply V9 9V wall
input IN line
output OUT 1M
part U1 opamp TL071 v+=V9 v-=gnd
knob BLEND 50k linear at 3
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
U1.non > VB
IN > R3 10k > U1.inv
U1.inv > R4 10k > U1.out
U1.out > BLEND.3
IN > BLEND.1
BLEND.2 > OUT
""",
            roles={"BLEND": (KIND_NAME, ROLE)},
        ),
        Example(
            text="""pedal One signal, two places
input IN line
output OUT 100k
part J1 jack tip=RIGHT
knob PAN 10k linear at 3
IN > PAN.2
PAN.1 > OUT
PAN.3 > RIGHT
OUT > R1 10k > gnd
RIGHT > R2 10k > gnd
""",
            roles={"PAN": (KIND_NAME, ROLE), "R1": ("pull-down", "pull-down resistor")},
        ),
    ),
    near_misses=(
        Example(
            text="""pedal Level
input IN line
output OUT 1M
knob LEVEL 50k linear at 3
IN > LEVEL.3
LEVEL.1 > gnd
LEVEL.2 > OUT
""",
            roles={"LEVEL": ("*", "")},
        ),
    ),
)
