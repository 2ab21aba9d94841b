"""The RC low-pass: a series resistor and a capacitor to ground; treble takes the short way and is lost.

A resistor alone in the way of the signal is one as well: its partner is the capacitance of what follows, a
cable or an input.
"""

from collections.abc import Iterable

from pedalwright.formulas.rc import corner_hz
from pedalwright.stages.bench import Bench
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.interstage import Interstage, one_each
from pedalwright.stages.leftovers import CABLE_F, capacitance_behind, lone_resistors
from pedalwright.stages.passive import MILLMAN, arms_and_shunts
from pedalwright.stages.resting import parallel_ohms_of
from pedalwright.stages.stage import Example, Number, Proposal, Role, Stage, StageKind, Transfer
from pedalwright.stages.supplies import role_of
from pedalwright.stages.wording import farads, hz, named, ohms

KIND_NAME = "rc-low-pass"
SOURCE = (
    "R. Coughlin and F. Driscoll, Operational Amplifiers and Linear Integrated Circuits, ch. 11: f = "
    "1/(2 pi R C)"
)
WORDS = {"R": "series resistor", "C": "shunt capacitor", "L": "series inductor", "D": "", "knob": ""}


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Nets with a capacitor to a steady net, and the resistors that bring a signal there."""
    inter = Interstage(claimed)
    for net in inter.at:
        shunts = inter.to_still(net, "C")
        if not shunts or any(leaf.sort == "D" for leaf in inter.arriving(net)):
            continue
        arms = tuple(leaf for leaf in inter.arriving(net, "RL") if not leaf.variable)
        if not arms and inter.is_plain(net):
            continue  # no signal gets here
        yield Proposal(
            kind=KIND_NAME,
            roles=one_each(inter.role(leaf, WORDS) for leaf in (*arms, *shunts)),
            inputs=tuple(dict.fromkeys(leaf.other(net) for leaf in arms)),
            output=net,
            branches={"arms": arms, "shunts": shunts},
        )


def alone(claimed: Claimed) -> Iterable[Proposal]:
    """Resistors alone in the way of the signal: what follows is their partner."""
    inter = Interstage(claimed)
    for leaf in lone_resistors(inter):
        start = inter.flow.upstream_end(leaf) or leaf.a
        yield Proposal(
            kind=KIND_NAME,
            roles=(Role(leaf.ref, WORDS["R"]),),
            inputs=(start,),
            output=leaf.other(start),
            branches={"arms": (leaf,), "shunts": ()},
        )


def transfer(stage: Stage, bench: Bench) -> Transfer | None:
    """A star of the series parts and the capacitor; None when only the capacitor is there."""
    return arms_and_shunts(stage, formula="H = (1/R) / (1/R + s C); load counted by its current")


def corner(stage: Stage, bench: Bench) -> float | None:
    """Corner with a stiff source and no load but a lone resistor's partner, in Hz; None without a pair."""
    arms = [leaf for leaf in stage.leaves("arms") if leaf.sort == "R"]
    store = sum(leaf.value for leaf in stage.leaves("shunts"))
    if _is_alone(stage):
        partner = capacitance_behind(bench, stage.output)
        store = partner[1] if partner else 0.0
    return corner_hz(parallel_ohms_of(arms), store) if arms and store else None


def _is_alone(stage: Stage) -> bool:
    return not stage.leaves("shunts")


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The corner."""
    f = corner(stage, bench)
    if f is None:
        return ()
    partner = capacitance_behind(bench, stage.output) if _is_alone(stage) else None
    note = f"with {partner[0]}" if partner else "stiff source, no load"
    return (Number(name="treble corner", unit="Hz", closed=f, full=None, source=SOURCE, note=note),)


def purpose(stage: Stage, bench: Bench) -> str:
    """What it takes away, from where up."""
    if _is_alone(stage):
        return _alone_says(stage, bench)
    f = corner(stage, bench)
    parts = " and ".join(named(bench, role.ref) for role in stage.roles)
    if f is None:
        return (
            f"{parts} takes the highest treble and radio to ground; with what drives it, it makes a low-pass."
        )
    return (
        f"{parts} take treble away: above {hz(f)} the level falls 6 dB an octave. Below, the signal "
        "passes unchanged but "
        f"for what the next stage loads it."
    )


def _alone_says(stage: Stage, bench: Bench) -> str:
    """What a resistor alone in the way is for: what follows decides what it does."""
    part = " and ".join(named(bench, role.ref) for role in stage.roles)
    f, partner = corner(stage, bench), capacitance_behind(bench, stage.output)
    if f is None or partner is None:
        return (
            f"{part} stands alone in the way of the signal: what follows draws its current through it, and "
            "so decides how much level it costs."
        )
    treble = f"with {partner[0]} treble falls above {hz(f)}"
    if partner[1] == CABLE_F:
        return (
            f"{part} stands between the last stage and the cable: a long cable cannot make that stage "
            f"unsteady, a shorted plug draws little, and {treble}."
        )
    return f"{part} stands in the way of radio and of sudden currents: {treble}."


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    if _is_alone(stage):
        return _alone_part_says(stage, ref, bench)
    f, value = corner(stage, bench), bench.view.circuit.by_ref[ref].value or 0.0
    moves = "" if f is None else f" Larger lowers the corner, now {hz(f)}."
    if role_of(stage, ref) == "shunt capacitor":
        return f"Lets treble go to ground through {farads(value)}.{moves}"
    return f"Stands in the way with {ohms(value)}, so that the capacitor can take the treble.{moves}"


def _alone_part_says(stage: Stage, ref: str, bench: Bench) -> str:
    f, value = corner(stage, bench), bench.view.circuit.by_ref[ref].value or 0.0
    partner = capacitance_behind(bench, stage.output)
    if f is None or partner is None:
        return f"Keeps two points apart with {ohms(value)}, so that neither drives the other hard."
    return f"Its partner is {partner[0]}: with {ohms(value)} the corner lies at {hz(f)}. Larger lowers it."


KIND = StageKind(
    kind=KIND_NAME,
    title="RC low-pass",
    says="Takes treble away, gently.",
    sources=(SOURCE, MILLMAN),
    order=640,
    group="passive",
    roles={
        "series resistor": "stands in the way of the signal",
        "series inductor": "stands in the way of treble",
        "shunt capacitor": "takes treble to ground",
    },
    find=find,
    late=alone,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=(
        Example(
            text="""pedal Dark
input IN line
output OUT 100k
IN > R1 4k7 > OUT > C1 10n > gnd
""",
            roles={"R1": (KIND_NAME, "series resistor"), "C1": (KIND_NAME, "shunt capacitor")},
        ),
        Example(
            text="""pedal Darker
input IN line
output OUT 100k
IN > R1 4k7 > MID > R2 10k > OUT
MID > C1 10n > gnd
OUT > C2 4n7 > gnd
""",
            roles={
                "R1": (KIND_NAME, "series resistor"),
                "C1": (KIND_NAME, "shunt capacitor"),
                "R2": (KIND_NAME, "series resistor"),
                "C2": (KIND_NAME, "shunt capacitor"),
            },
        ),
        Example(
            text="""pedal Before the cable
supply V9 9V wall
input IN line
output OUT 1M
part U1 opamp TL071 v+=V9 v-=gnd
V9 > R1 22k > VB > R2 22k > gnd
VB > C1 47u > gnd
IN > C2 100n > REST > R3 1M > VB
REST > R4 10k > U1.non
U1.out > U1.inv
U1.out > C3 10u > R5 470 > OUT > R6 100k > gnd
""",
            roles={
                "R4": (KIND_NAME, "series resistor"),
                "R5": (KIND_NAME, "series resistor"),
                "R6": ("pull-down", "pull-down resistor"),
            },
        ),
    ),
    near_misses=(
        Example(
            text="""pedal Bright
input IN line
output OUT 100k
IN > C1 10n > OUT > R1 4k7 > gnd
""",
            roles={"R1": ("*", ""), "C1": ("*", "")},
        ),
    ),
)
