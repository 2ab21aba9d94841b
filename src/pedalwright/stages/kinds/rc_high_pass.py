"""The RC high-pass: a series capacitor and a resistor to ground, chosen so small that bass is lost on
purpose.
"""

from collections.abc import Iterable

from pedalwright.formulas.rc import corner_hz
from pedalwright.stages.bench import Bench
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.interstage import Interstage, one_each
from pedalwright.stages.passive import MILLMAN, star_transfer
from pedalwright.stages.resting import parallel_ohms_of
from pedalwright.stages.stage import Example, Number, Proposal, Stage, StageKind, Transfer
from pedalwright.stages.supplies import role_of
from pedalwright.stages.wording import farads, hz, named, ohms

KIND_NAME = "rc-high-pass"
SOURCE = (
    "R. Coughlin and F. Driscoll, Operational Amplifiers and Linear Integrated Circuits, ch. 11: f = "
    "1/(2 pi R C)"
)
AUDIBLE_HZ = 60.0
"""a corner above this cuts bass that a guitar has; below it the capacitor only blocks direct current"""
WORDS = {"R": "shunt resistor", "C": "series capacitor", "L": "", "D": "", "knob": ""}


def find(claimed: Claimed) -> Iterable[Proposal]:
    """A capacitor into a net with a resistor to a steady net, where their corner is audible."""
    inter = Interstage(claimed)
    for net in inter.at:
        arms = inter.arriving(net, "C")
        shunts = tuple(leaf for leaf in inter.to_still(net, "R") if not leaf.variable)
        if len(inter.arriving(net)) != 1 or len(arms) != 1 or not shunts:
            continue
        if corner_hz(parallel_ohms_of(shunts), arms[0].value) > AUDIBLE_HZ:
            yield Proposal(
                kind=KIND_NAME,
                roles=one_each(inter.role(leaf, WORDS) for leaf in (*arms, *shunts)),
                inputs=(arms[0].other(net),),
                output=net,
                branches={"arms": arms, "shunts": shunts},
            )


def transfer(stage: Stage, bench: Bench) -> Transfer:
    """A star of the capacitor and the resistor."""
    return star_transfer(
        arms=[(leaf.other(stage.output), leaf) for leaf in stage.leaves("arms")],
        shunts=stage.leaves("shunts"),
        output=stage.output,
        formula="H = s C / (s C + 1/R); load counted by its current",
        source=MILLMAN,
    )


def corner(stage: Stage) -> float:
    """Corner with a stiff source and without load, in Hz."""
    return corner_hz(parallel_ohms_of(stage.leaves("shunts")), stage.leaves("arms")[0].value)


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The corner."""
    return (
        Number(
            name="bass corner",
            unit="Hz",
            closed=corner(stage),
            full=None,
            source=SOURCE,
            note="stiff source, no load",
        ),
    )


def purpose(stage: Stage, bench: Bench) -> str:
    """What it takes away, from where down."""
    parts = " and ".join(named(bench, role.ref) for role in stage.roles)
    return (
        f"{parts} take bass away: below {hz(corner(stage))} the level falls 6 dB an octave. The resting "
        "voltages on both "
        f"sides are kept apart as well."
    )


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    value = bench.view.circuit.by_ref[ref].value or 0.0
    moves = f" Larger lowers the corner, now {hz(corner(stage))}."
    if role_of(stage, ref) == "series capacitor":
        return f"Lets treble through and stops bass with {farads(value)}.{moves}"
    return f"Drains what bass comes through, with {ohms(value)}.{moves}"


KIND = StageKind(
    kind=KIND_NAME,
    title="RC high-pass",
    says="Takes bass away, gently.",
    sources=(SOURCE, MILLMAN),
    order=650,
    group="passive",
    roles={"series capacitor": "lets treble through", "shunt resistor": "drains bass"},
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=(
        Example(
            text="""pedal Thin
input IN line
output OUT 100k
IN > C1 10n > OUT > R1 22k > gnd
""",
            roles={"C1": (KIND_NAME, "series capacitor"), "R1": (KIND_NAME, "shunt resistor")},
        ),
    ),
    near_misses=(
        Example(
            text="""pedal Only blocks
input IN line
output OUT 100k
IN > C1 1u > OUT > R1 100k > gnd
""",
            roles={"C1": ("*", ""), "R1": ("*", "")},
        ),
    ),
)
