"""The variable resistor: a knob used with two of its lugs, the cell of an optocoupler, or a transistor used
as a resistance.
"""

from collections.abc import Iterable

from pedalwright.stages.bench import Bench
from pedalwright.stages.channel_resistor import (
    channel_numbers,
    channel_part_says,
    channel_purpose,
    channel_transfer,
    find_channel_resistors,
    is_channel_resistor,
)
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.interstage import Interstage
from pedalwright.stages.passive import MILLMAN, star_transfer
from pedalwright.stages.stage import Example, Number, Proposal, Role, Stage, StageKind, Transfer
from pedalwright.stages.wording import named, ohms

KIND_NAME = "variable-resistor"
KNOB, CELL = "variable resistor", "voltage-controlled resistor"
SOURCE = "common practice, no source (Ohm's law)"


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free knob, optocoupler cell and resistive transistor."""
    inter = Interstage(claimed)
    for part in claimed.view.parts_of("knob"):
        if not claimed.free(part.ref):
            continue
        halves = tuple(leaf for leaf in claimed.view.leaves if leaf.ref == part.ref)
        start = inter.flow.upstream_end(halves[0]) if len(halves) == 1 else None
        yield Proposal(
            kind=KIND_NAME,
            roles=(Role(part.ref, KNOB),),
            inputs=() if start is None else (start,),
            output="" if start is None else halves[0].other(start),
            branches={"track": halves},
        )
    yield from find_channel_resistors(claimed)


def transfer(stage: Stage, bench: Bench) -> Transfer | None:
    """In series with the signal everything passes and the load drops across it; elsewhere None."""
    if is_channel_resistor(stage):
        return channel_transfer(stage, bench)
    if not stage.inputs:
        return None
    return star_transfer(
        arms=[(stage.inputs[0], leaf) for leaf in stage.leaves("track")],
        shunts=(),
        output=stage.output,
        formula="H = 1; behind it R",
        source=MILLMAN,
    )


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Its resistance as it stands."""
    if is_channel_resistor(stage):
        return channel_numbers(stage, bench)
    track = stage.leaves("track")
    if not track:
        return ()
    total = sum(leaf.value for leaf in track)
    return (Number(name="resistance as it stands", unit="ohm", closed=total, full=None, source=SOURCE),)


def purpose(stage: Stage, bench: Bench) -> str:
    """What it is and how large it stands."""
    if is_channel_resistor(stage):
        return channel_purpose(stage, bench)
    ref, track = stage.roles[0].ref, stage.leaves("track")
    now = f" It stands at {ohms(sum(leaf.value for leaf in track))}." if track else ""
    return f"{named(bench, ref)} is a resistance that a hand moves.{now}"


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What the part is for."""
    if is_channel_resistor(stage):
        return channel_part_says(stage, ref, bench)
    return "A resistance between two of its lugs, moved by hand."


KIND = StageKind(
    kind=KIND_NAME,
    title="Variable resistor",
    says="A resistance that is moved by hand or by another part of the circuit.",
    sources=(SOURCE, MILLMAN),
    order=720,
    group="control",
    roles={KNOB: "a resistance moved by hand", CELL: "a resistance moved by the circuit"},
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=(
        Example(
            text="""pedal A dimmed cell
supply V9 9V wall
input IN line
output OUT 1M
part U1 optocoupler ohms=22k
knob DEPTH 100k linear at 5
V9 > R1 4k7 > U1.led+
U1.led- > gnd
IN > R2 47k > OUT
OUT > DEPTH.1
DEPTH.2 > DEPTH.3 > U1.r1
U1.r2 > gnd
""",
            roles={
                "DEPTH": (KIND_NAME, KNOB),
                "U1": (KIND_NAME, CELL),
                "R2": ("volume-divider", "divider resistor"),
                "R1": ("indicator", "LED series resistor"),
            },
        ),
        Example(
            text="""pedal Soft gate
supply V9 9V wall
input IN line
output OUT 100k
part Q1 n-jfet 2N5457
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
V9 > R6 100k > VG > R7 56k > gnd
VG > C5 10u > gnd
IN > C2 1u > R3 47k > MID > R4 1M > VB
Q1.d > MID
Q1.s > VB
Q1.g > R5 1M > VG
MID > C3 1u > OUT
""",
            roles={"Q1": (KIND_NAME, CELL)},
        ),
        Example(
            text="""pedal In a row
input IN line
output OUT 100k
knob LESS 100k linear at 5
IN > LESS.1
LESS.2 > LESS.3 > OUT
""",
            roles={"LESS": (KIND_NAME, KNOB)},
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
