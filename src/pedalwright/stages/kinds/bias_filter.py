"""The bias filter: a capacitor that holds a resting voltage still for signals, with its resistor when it has
one of its own.
"""

from collections.abc import Iterable

from pedalwright.circuit.circuit import GROUND
from pedalwright.formulas.rc import corner_hz
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch, parallel, resistance, series
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.nets import row_end, steady_row
from pedalwright.stages.stage import Example, Number, Proposal, Role, Stage, StageKind
from pedalwright.stages.supplies import role_of
from pedalwright.stages.wording import farads, hz, named, ohms, volts

KIND_NAME = "bias-filter"
SOURCE = "f = 1/(2 pi R C), R the divider's two resistors side by side (Thevenin's theorem)"


def find(claimed: Claimed) -> Iterable[Proposal]:
    """The free capacitors from each bias net to ground or a rail, and a resistor from another bias net."""
    bias, rails = claimed.classes.bias, claimed.classes.rails
    used: set[str] = set()
    for net in sorted(bias, key=claimed.view.circuit.nets.index):
        free = [leaf for leaf in claimed.free_on(net) if leaf.ref not in used]
        stores = tuple(
            leaf for leaf in free if leaf.sort == "C" and leaf.other(net) in {GROUND, *rails, *bias}
        )
        feeding = tuple(leaf for leaf in free if leaf.sort == "R" and leaf.other(net) in bias)
        if not stores:
            continue
        roles = [Role(leaf.ref, "bias filter resistor") for leaf in feeding]
        roles += [Role(leaf.ref, "bias filter capacitor") for leaf in stores]
        used |= {role.ref for role in roles}
        yield Proposal(
            kind=KIND_NAME,
            roles=tuple(dict.fromkeys(roles)),
            branches={"store": stores, "feeding": _behind(claimed, net)},
            nets={"at": net},
        )


def _behind(claimed: Claimed, net: str) -> tuple[Branch, ...]:
    """Every row of resistances from the net to other steady nets, whoever has claimed it.

    A track from here to its wiper, which rests as well, draws on the resting voltage and does not make it.
    """
    classes = claimed.classes
    rows = [steady_row(claimed.view, leaf, net, classes.still) for leaf in claimed.view.on(net)]
    return tuple(
        series(*row)
        for row in rows
        if row and not (len(row) == 1 and row[0].variable and row_end(row, net) in classes.bias)
    )


def corner(stage: Stage) -> float | None:
    """Corner below which ripple still passes, in Hz; None when only an amplifier drives the net."""
    store = sum(leaf.value for leaf in stage.leaves("store"))
    feeding = stage.branches["feeding"]
    return corner_hz(resistance(parallel(*feeding)), store) if feeding else None


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The corner and the voltage on it."""
    found = [
        Number(name="voltage", unit="V", closed=None, full=bench.volts(stage.nets["at"]), source="rest point")
    ]
    f = corner(stage)
    if f is not None:
        found.append(Number(name="corner", unit="Hz", closed=f, full=None, source=SOURCE))
    return tuple(found)


def purpose(stage: Stage, bench: Bench) -> str:
    """What it holds still, from which frequency up."""
    parts = " and ".join(named(bench, role.ref) for role in stage.roles)
    plural = len(stage.roles) > 1
    f, at = corner(stage), bench.volts(stage.nets["at"])
    rests = "" if at is None else f" of {volts(at)}"
    above = (
        ""
        if f is None
        else f": above {hz(f)} ripple from the supply, and what the stages push into it, fades"
    )
    return f"{parts} {'hold' if plural else 'holds'} the resting voltage{rests} still for signals{above}."


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for."""
    f = corner(stage)
    at = "" if f is None else f" Larger lowers the corner, now {hz(f)}."
    value = bench.view.circuit.by_ref[ref].value or 0.0
    if role_of(stage, ref) == "bias filter resistor":
        return (
            f"Leads the resting voltage on through {ohms(value)}, so that the capacitor behind it can "
            f"filter once more.{at}"
        )
    return f"Holds the resting voltage still with {farads(value)}.{at}"


KIND = StageKind(
    kind=KIND_NAME,
    title="Bias filter",
    says="Holds a resting voltage still for signals.",
    sources=(SOURCE,),
    order=567,
    group="bias",
    roles={
        "bias filter capacitor": "holds the resting voltage still",
        "bias filter resistor": "leads the resting voltage to the capacitor",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    examples=(
        Example(
            text="""pedal Filtered twice
supply VIN 9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=VIN v-=gnd
VIN > R1 22k > VX > R2 22k > gnd
VX > R4 10k > VB > C1 22u > gnd
IN > C2 100n > U1.non
U1.non > R3 1M > VB
U1.inv > U1.out
U1.out > C3 1u > OUT
""",
            roles={
                "R1": ("bias-divider", "upper divider resistor"),
                "R4": (KIND_NAME, "bias filter resistor"),
                "C1": (KIND_NAME, "bias filter capacitor"),
            },
        ),
    ),
    near_misses=(
        Example(
            text="""pedal On the rail
supply VIN 9V wall
VIN > C1 47u > gnd
VIN > R1 10k > gnd
""",
            roles={"C1": ("*", "")},
        ),
    ),
)
