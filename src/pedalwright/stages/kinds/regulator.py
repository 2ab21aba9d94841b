"""The regulator: makes a steady voltage from a higher one and turns the difference into heat.

An adjustable one holds a fixed voltage between its output and its adjusting pin; two resistors make any
voltage of that.
"""

from collections.abc import Iterable

from pedalwright.circuit.circuit import GROUND
from pedalwright.stages.bench import Bench
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.stage import Example, Number, Proposal, Role, Stage, StageKind
from pedalwright.stages.supplies import anode, cathode, figure_of, role_of
from pedalwright.stages.wording import named, ohms, volts

KIND_NAME = "regulator"
SOURCE = "the maker's sheet named on the regulator's card"
ADJUSTABLE_SOURCE = "V = Vref (1 + R2/R1), the adjustable regulator's sheet (from memory)"


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every regulator, with the resistors on its adjusting pin and a diode that lies back across it."""
    view = claimed.view
    for part in view.parts_of("regulator"):
        into, out, ground = (view.net(part, pin) for pin in ("in", "out", "gnd"))
        roles = [Role(part.ref, "regulator")]
        upper = tuple(
            leaf for leaf in claimed.free_on(ground) if leaf.other(ground) == out and leaf.sort == "R"
        )
        lower = tuple(
            leaf for leaf in claimed.free_on(ground) if leaf.other(ground) == GROUND and leaf.sort == "R"
        )
        if ground != GROUND:
            roles += [Role(leaf.ref, "regulator setting resistor") for leaf in (*upper, *lower)]
        back = [
            leaf
            for leaf in claimed.free_on(out)
            if leaf.sort == "D" and anode(leaf) == out and cathode(leaf) == into
        ]
        roles += [Role(leaf.ref, "discharge diode") for leaf in back]
        yield Proposal(
            kind=KIND_NAME,
            roles=tuple(dict.fromkeys(roles)),
            branches={"upper": upper, "lower": lower} if ground != GROUND else {},
            nets={"from": into, "to": out, "ground": ground},
        )


def held_volts(stage: Stage, bench: Bench) -> float | None:
    """The voltage it is made to hold, in volts; None when its card does not say."""
    part = bench.view.circuit.by_ref[stage.roles[0].ref]
    own = part.value if part.value is not None else figure_of(bench, part.ref, "volts")
    if own is None or not stage.branches.get("upper"):
        return own
    above, below = (_ohms(stage, name) for name in ("upper", "lower"))
    return own * (1.0 + below / above)


def _ohms(stage: Stage, name: str) -> float:
    siemens = sum(1.0 / leaf.value for leaf in stage.leaves(name))
    return 1.0 / siemens if siemens else 0.0


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Output voltage, and the voltage left to work with."""
    into, out = bench.volts(stage.nets["from"]), bench.volts(stage.nets["to"])
    ref = stage.roles[0].ref
    source = ADJUSTABLE_SOURCE if stage.branches else SOURCE
    spare = None if into is None or out is None else into - out
    return (
        Number(name="output voltage", unit="V", closed=held_volts(stage, bench), full=out, source=source),
        Number(
            name="voltage between input and output",
            unit="V",
            closed=None,
            full=spare,
            source="rest point",
            note=f"needs at least {figure_of(bench, ref, 'dropout_v') or 0:g} V",
        ),
    )


def purpose(stage: Stage, bench: Bench) -> str:
    """What it makes from what."""
    ref, held = stage.roles[0].ref, held_volts(stage, bench)
    into = bench.volts(stage.nets["from"])
    made = "a steady voltage" if held is None else f"a steady {volts(held)}"
    given = "the supply" if into is None else f"the {volts(into)} before it"
    dropout = figure_of(bench, ref, "dropout_v")
    need = "" if dropout is None else f" It needs {volts(dropout)} more at its input than it gives."
    return f"{named(bench, ref)} makes {made} from {given}, whatever the supply and the load do.{need}"


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for."""
    role = role_of(stage, ref)
    if role == "regulator setting resistor":
        held = held_volts(stage, bench)
        value = ohms(bench.view.circuit.by_ref[ref].value or 0.0)
        return (
            f"With the other one sets the output voltage{'' if held is None else f' of {volts(held)}'}; "
            f"its part is {value}."
        )
    if role == "discharge diode":
        return (
            "Empties the output's capacitor past the regulator when the input falls first; otherwise "
            "does nothing."
        )
    return (
        "Turns the voltage it takes off into heat and holds its output steady. Check its output before "
        "fitting what it feeds."
    )


KIND = StageKind(
    kind=KIND_NAME,
    title="Regulator",
    says="Makes a steady supply from a higher one.",
    sources=(SOURCE,),
    order=130,
    group="supply",
    roles={
        "regulator": "holds its output steady",
        "regulator setting resistor": "sets the output voltage with its partner",
        "discharge diode": "empties the output's capacitor at switch-off",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    examples=(
        Example(
            text="""pedal Five volts
supply VIN 9V wall
part U1 regulator 5V in=VIN out=V5 gnd=gnd
VIN > C1 100n > gnd
V5 > C2 47u > gnd
V5 > C3 100n > gnd
V5 > R1 1k > gnd
""",
            roles={
                "U1": (KIND_NAME, "regulator"),
                "C1": ("decoupling", "decoupling capacitor"),
                "C2": ("reservoir", "reservoir capacitor"),
                "C3": ("decoupling", "decoupling capacitor"),
            },
        ),
        Example(
            text="""pedal Set by two resistors
supply VIN 12V wall
part U1 regulator LM317 in=VIN out=VA adj=ADJ
VA > R1 240 > ADJ > R2 1k2 > gnd
VA > D1 1N4001 > VIN
VA > C1 10u > gnd
""",
            roles={
                "U1": (KIND_NAME, "regulator"),
                "R1": (KIND_NAME, "regulator setting resistor"),
                "R2": (KIND_NAME, "regulator setting resistor"),
                "D1": (KIND_NAME, "discharge diode"),
            },
        ),
    ),
    near_misses=(
        Example(
            text="""pedal Two resistors alone
supply VIN 12V wall
VIN > R1 240 > ADJ > R2 1k2 > gnd
ADJ > C1 10u > gnd
""",
            roles={"R1": ("*", ""), "R2": ("*", "")},
        ),
    ),
)
