"""The supply filter: a resistor (or choke) and a capacitor that keep hum and ticking on one side of a rail.

With a transistor whose base is filtered and whose emitter feeds the rail, the small base capacitor acts as if
it were larger by the current gain: a capacitance multiplier.
"""

from collections.abc import Iterable
from math import pi, sqrt

from pedalwright.circuit.circuit import GROUND
from pedalwright.formulas.rc import corner_hz
from pedalwright.stages.bench import Bench
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.stage import Example, Number, Proposal, Role, Stage, StageKind
from pedalwright.stages.supplies import (
    drop_volts,
    feeds_of,
    kind_of,
    largest,
    rail_capacitors,
    role_of,
    supply_volts,
    zener_volts,
)
from pedalwright.stages.wording import farads, hz, named, ohms, volts

KIND_NAME = "supply-rc-filter"
SOURCE = (
    "R. Coughlin and F. Driscoll, Operational Amplifiers and Linear Integrated Circuits, ch. 11: f = "
    "1/(2 pi R C)"
)
MAINS_RIPPLE_HZ = 100.0


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Resistors, chokes and pass transistors that make one rail from another, each with the largest
    capacitor behind it.
    """
    for part, near, far in feeds_of(claimed, "resistor", "inductor", "knob"):
        if _is_held_by_zener(claimed, far):
            continue
        stores = largest(rail_capacitors(claimed, far))
        # A knob that starves a rail is a control of its own; only its capacitor belongs here.
        roles = [] if claimed.view.family[part.ref] == "knob" else [Role(part.ref, "supply filter resistor")]
        roles += [Role(leaf.ref, "supply filter capacitor") for leaf in stores]
        branches = {
            "series": tuple(leaf for leaf in claimed.view.on(far) if leaf.ref == part.ref),
            "store": stores,
        }
        yield Proposal(kind=KIND_NAME, roles=tuple(roles), branches=branches, nets={"from": near, "to": far})
    for part, near, far in feeds_of(claimed, "bipolar"):
        yield _multiplier(claimed, part.ref, near, far)


def _is_held_by_zener(claimed: Claimed, net: str) -> bool:
    given = supply_volts(claimed.bench)
    for leaf in claimed.view.on(net):
        if leaf.sort == "D" and kind_of(claimed, leaf.ref) == "zener-diode":
            held = zener_volts(claimed.bench, leaf.ref)
            return held is not None and given is not None and held < given
    return False


def _multiplier(claimed: Claimed, ref: str, near: str, far: str) -> Proposal:
    base = next(item.control for item in claimed.view.transistors if item.ref == ref)
    feeding = tuple(leaf for leaf in claimed.free_on(base) if leaf.sort == "R" and leaf.other(base) == near)
    stores = tuple(leaf for leaf in claimed.free_on(base) if leaf.sort == "C" and leaf.other(base) == GROUND)
    roles = [Role(ref, "supply filter transistor")]
    roles += [Role(leaf.ref, "supply filter resistor") for leaf in feeding]
    roles += [
        Role(leaf.ref, "supply filter capacitor")
        for leaf in (*stores, *largest(rail_capacitors(claimed, far)))
    ]
    branches = {"series": feeding, "store": stores}
    return Proposal(kind=KIND_NAME, roles=tuple(roles), branches=branches, nets={"from": near, "to": far})


def corner(stage: Stage) -> float | None:
    """The frequency above which the filter takes ripple away, in Hz; None without a capacitor."""
    store = sum(leaf.value for leaf in stage.leaves("store"))
    series = stage.leaves("series")
    if not store or not series:
        return None
    if series[0].sort == "L":
        return 1.0 / (2 * pi * sqrt(series[0].value * store))
    return corner_hz(series[0].value, store)


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Corner, how much is left of mains ripple, and the voltage it costs."""
    found = []
    f = corner(stage)
    if f is not None:
        order = (
            2 if any(leaf.sort == "L" for item in stage.branches["series"] for leaf in item.leaves()) else 1
        )
        left = 1.0 / sqrt(1.0 + (MAINS_RIPPLE_HZ / f) ** (2 * order))
        found.append(Number(name="corner", unit="Hz", closed=f, full=None, source=SOURCE))
        found.append(Number(name="left of ripple at 100 Hz", unit="x", closed=left, full=None, source=SOURCE))
    dropped = drop_volts(bench, stage.nets["from"], stage.nets["to"])
    found.append(Number(name="voltage it takes", unit="V", closed=None, full=dropped, source="rest point"))
    return tuple(found)


def purpose(stage: Stage, bench: Bench) -> str:
    """What it keeps apart, with its corner."""
    f = corner(stage)
    dropped = drop_volts(bench, stage.nets["from"], stage.nets["to"])
    cost = "" if dropped is None else f" It costs {volts(dropped)} of the supply."
    if f is None:
        return f"{named(bench, stage.roles[0].ref)} feeds this rail apart from the others.{cost}"
    what = "and".join(f" {named(bench, role.ref)} " for role in stage.roles).strip()
    return (
        f"{what} keep ripple and switching noise of the supply out of this rail, and this rail's own "
        "current pulses out "
        f"of the others: above {hz(f)} less and less passes.{cost}"
    )


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    role, f = role_of(stage, ref), corner(stage)
    value = bench.view.circuit.by_ref[ref].value or 0.0
    at = "" if f is None else f" Larger lowers the corner, now {hz(f)}."
    if role == "supply filter resistor":
        size = "The choke" if bench.view.family[ref] == "inductor" else ohms(value)
        return (
            f"{size} stands between the supply and this rail, so that the capacitor behind it can hold "
            f"the rail still.{at}"
        )
    if role == "supply filter capacitor":
        return f"Holds this rail still with {farads(value)}.{at}"
    return (
        "Passes the rail's current and follows its filtered base: the base capacitor counts as many "
        "times as its current gain."
    )


KIND = StageKind(
    kind=KIND_NAME,
    title="Supply filter",
    says="Keeps hum and ticking on one side of a rail.",
    sources=(SOURCE,),
    order=120,
    group="supply",
    roles={
        "supply filter resistor": "stands between the supply and the filtered rail",
        "supply filter capacitor": "holds the filtered rail still",
        "supply filter transistor": "multiplies the capacitor at its base",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    examples=(
        Example(
            text="""pedal Quiet rail
supply VIN 9V wall
VIN > C1 220u > gnd
VIN > R1 100 > VA > C2 47u > gnd
VA > C3 100n > gnd
VA > R2 10k > gnd
""",
            roles={
                "R1": (KIND_NAME, "supply filter resistor"),
                "C2": (KIND_NAME, "supply filter capacitor"),
                "C1": ("reservoir", "reservoir capacitor"),
                "C3": ("decoupling", "decoupling capacitor"),
            },
        ),
        Example(
            text="""pedal Very quiet rail
supply VIN 12V wall
part Q1 npn 2N3904
Q1.c > VIN
VIN > R1 1k > Q1.b > C1 100u > gnd
Q1.e > VA > C2 10u > gnd
VA > R2 2k2 > gnd
""",
            roles={
                "Q1": (KIND_NAME, "supply filter transistor"),
                "R1": (KIND_NAME, "supply filter resistor"),
                "C1": (KIND_NAME, "supply filter capacitor"),
            },
        ),
    ),
    near_misses=(
        Example(
            text="""pedal A collector resistor is no filter
supply VIN 9V wall
input IN line
output OUT 100k
part Q1 npn 2N3904
IN > C1 100n > Q1.b
VIN > R1 470k > Q1.b
VIN > R2 1k > Q1.c
Q1.e > gnd
Q1.c > C2 1u > OUT
""",
            roles={"R2": ("*", "")},
        ),
    ),
)
