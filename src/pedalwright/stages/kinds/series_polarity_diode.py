"""The series polarity diode: lets the supply in one way round only.

It costs its forward voltage. A P-channel MOSFET does the same for a few millivolts: its body diode starts it,
and its gate, held at ground, turns the channel on.
"""

from collections.abc import Iterable

from pedalwright.circuit.circuit import GROUND
from pedalwright.stages.bench import Bench
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.stage import Example, Number, Proposal, Role, Stage, StageKind
from pedalwright.stages.supplies import drop_volts, feeds_of, leads_inward, role_of
from pedalwright.stages.view import Transistor
from pedalwright.stages.wording import farads, named, ohms, volts

KIND_NAME = "series-polarity-diode"
SOURCE = "common practice, no source"
SOFT_START = "soft-start capacitor"


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Diodes and field-effect transistors that lead a supply on into the pedal."""
    for part, near, far in feeds_of(claimed, "diode"):
        if leads_inward(claimed, near, far):
            yield _proposal(part.ref, near, far, (Role(part.ref, "series polarity diode"),))
    for part, near, far in feeds_of(claimed, "fet"):
        transistor = next(item for item in claimed.view.transistors if item.ref == part.ref)
        roles = (Role(part.ref, "series polarity transistor"), *_gate_roles(claimed, transistor))
        yield _proposal(part.ref, near, far, roles)


def _proposal(ref: str, near: str, far: str, roles: tuple[Role, ...]) -> Proposal:
    return Proposal(kind=KIND_NAME, roles=roles, nets={"from": near, "to": far})


def _gate_roles(claimed: Claimed, transistor: Transistor) -> Iterable[Role]:
    if transistor.control == GROUND:
        return
    rails = (transistor.top, transistor.bottom)
    for leaf in claimed.free_on(transistor.control):
        far = leaf.other(transistor.control)
        if leaf.sort == "R" and (far == GROUND or far in rails):
            yield Role(leaf.ref, "gate resistor")
        elif leaf.sort == "C" and (far == GROUND or far in rails):
            yield Role(leaf.ref, SOFT_START)
        elif leaf.sort == "D" and leaf.other(transistor.control) in (transistor.top, transistor.bottom):
            yield Role(leaf.ref, "gate protection diode")


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """What it takes from the supply at rest."""
    dropped = drop_volts(bench, stage.nets["from"], stage.nets["to"])
    return (Number(name="voltage it takes", unit="V", closed=None, full=dropped, source="rest point"),)


def _cost(stage: Stage, bench: Bench) -> str:
    dropped = drop_volts(bench, stage.nets["from"], stage.nets["to"])
    return "" if dropped is None else f" Here that costs {volts(dropped)}."


def purpose(stage: Stage, bench: Bench) -> str:
    """What it guards against, and what it costs."""
    first = stage.roles[0]
    if first.role == "series polarity diode":
        return (
            f"{named(bench, first.ref)} lets current into the pedal in the right direction only: with the "
            "supply reversed "
            f"nothing flows, and nothing is harmed.{_cost(stage, bench)}"
        )
    return (
        f"{named(bench, first.ref)} conducts only while the supply is the right way round: its gate is "
        "held at ground, so "
        f"a positive supply turns it on and a reversed one turns it off.{_cost(stage, bench)}"
    )


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for."""
    role = role_of(stage, ref)
    if role == "gate resistor":
        value = bench.view.circuit.by_ref[ref].value or 0.0
        ends = {bench.view.joined[net] for net in bench.view.circuit.by_ref[ref].nets}
        if GROUND not in ends:
            return (
                f"Lets the gate go back to the supply through {ohms(value)} when the supply is switched off."
            )
        return f"Holds the gate at ground through {ohms(value)}; no current flows in it at rest."
    if role == SOFT_START:
        value = bench.view.circuit.by_ref[ref].value or 0.0
        return f"Lets the gate move slowly with {farads(value)}, so that the supply comes up without a rush."
    if role == "gate protection diode":
        return "Keeps the voltage between gate and source below what the thin gate layer stands."
    return f"Lets current in one way only.{_cost(stage, bench)}"


KIND = StageKind(
    kind=KIND_NAME,
    title="Series polarity diode",
    says="Keeps a reversed supply out of the pedal, for the price of a small voltage.",
    sources=(SOURCE,),
    order=110,
    group="supply",
    roles={
        "series polarity diode": "passes the supply current in one direction only",
        "series polarity transistor": "conducts only with the supply the right way round",
        "gate resistor": "holds the gate at ground",
        "gate protection diode": "limits the gate's voltage",
        SOFT_START: "lets the supply come up slowly",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    examples=(
        Example(
            text="""pedal Slow to rise
supply VIN 9V wall
part Q1 p-mosfet BS250 d=VIN s=VP g=GATE
GATE > R1 100k > gnd
GATE > R2 1M > VP
GATE > C1 1u > VP
VP > C2 100u > gnd
VP > R3 4k7 > D1 red > gnd
""",
            roles={
                "Q1": (KIND_NAME, "series polarity transistor"),
                "R1": (KIND_NAME, "gate resistor"),
                "R2": (KIND_NAME, "gate resistor"),
                "C1": (KIND_NAME, SOFT_START),
            },
        ),
        Example(
            text="""pedal One way in
supply VIN 9V wall
VIN > D1 1N5817 > VA > C1 100u > gnd
VA > R1 10k > gnd
""",
            roles={"D1": (KIND_NAME, "series polarity diode"), "C1": ("reservoir", "reservoir capacitor")},
        ),
        Example(
            text="""pedal Two ways in
supply BAT 9V battery
supply DC 9V wall
BAT > D1 1N5817 > VA
DC > D2 1N5817 > VA
VA > C1 100u > gnd
VA > R1 10k > gnd
""",
            roles={
                "D1": (KIND_NAME, "series polarity diode"),
                "D2": (KIND_NAME, "series polarity diode"),
            },
        ),
        Example(
            text="""pedal Nearly free way in
supply VIN 9V wall
part Q1 p-mosfet BS250
Q1.d > VIN
Q1.s > VA > C1 100u > gnd
Q1.g > R1 100k > gnd
Q1.g > D1 9V1 (zener) > VA
VA > R2 10k > gnd
""",
            roles={
                "Q1": (KIND_NAME, "series polarity transistor"),
                "R1": (KIND_NAME, "gate resistor"),
                "D1": (KIND_NAME, "gate protection diode"),
            },
        ),
    ),
    near_misses=(
        Example(
            text="""pedal Backwards across the regulator
supply VIN 9V wall
part U1 regulator 5V in=VIN out=V5 gnd=gnd
V5 > D1 1N4148 > VIN
V5 > C1 100u > gnd
V5 > R1 10k > gnd
""",
            roles={"D1": ("*", "")},
        ),
    ),
)
