"""The reservoir: the large capacitor where a supply arrives, which gives what is asked for faster than the
supply can.
"""

from collections.abc import Iterable

from pedalwright.stages.bench import Bench
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.ratings import rating_says
from pedalwright.stages.stage import Example, Number, Proposal, Role, Stage, StageKind
from pedalwright.stages.supplies import LARGE_FARADS, largest, rail_capacitors
from pedalwright.stages.wording import farads, named, volts

KIND_NAME = "reservoir"
SOURCE = "common practice, no source"
SAG_S, SAG_A = 1e-3, 10e-3
"""the demand its voltage drop is told for: 10 mA for 1 ms"""


def find(claimed: Claimed) -> Iterable[Proposal]:
    """The largest free capacitor on every rail, from 10 uF, where no supply filter has one already."""
    for net in sorted(claimed.classes.rails, key=claimed.view.circuit.nets.index):
        if _has_store(claimed, net):
            continue
        stores = largest(leaf for leaf in rail_capacitors(claimed, net) if leaf.value >= LARGE_FARADS * 0.99)
        if stores:
            roles = tuple(Role(leaf.ref, "reservoir capacitor") for leaf in stores)
            yield Proposal(kind=KIND_NAME, roles=roles, branches={"store": stores}, nets={"rail": net})


def _has_store(claimed: Claimed, net: str) -> bool:
    """A taken capacitor on the rail is at least as large: the supply filter's own."""
    taken = [leaf for leaf in claimed.view.on(net) if leaf.sort == "C" and not claimed.free(leaf.ref)]
    free = rail_capacitors(claimed, net)
    most = max((leaf.value for leaf in free), default=0.0)
    return any(leaf.value >= max(most, LARGE_FARADS * 0.99) for leaf in taken)


def sag_volts(stage: Stage) -> float:
    """How far the rail falls while the capacitor alone gives 10 mA for 1 ms."""
    return SAG_A * SAG_S / sum(leaf.value for leaf in stage.leaves("store"))


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The fall of the rail under a short demand, and the voltage on it."""
    rail = bench.volts(stage.nets["rail"])
    return (
        Number(
            name="fall while it gives 10 mA for 1 ms",
            unit="V",
            closed=sag_volts(stage),
            full=None,
            source="I t / C",
        ),
        Number(name="voltage on it", unit="V", closed=None, full=rail, source="rest point"),
    )


def purpose(stage: Stage, bench: Bench) -> str:
    """What it stores, with its number."""
    what = " and ".join(named(bench, role.ref) for role in stage.roles)
    rail = bench.volts(stage.nets["rail"])
    verdicts = "".join(
        f" {role.ref}: {said}" for role in stage.roles if (said := rating_says(bench, role.ref))
    )
    stands = "" if rail is None else verdicts or f" {volts(rail)} stands across it: mind its plus end."
    return (
        f"{what} keeps charge on this rail and gives it out faster than what feeds the rail can: left alone "
        f"with 10 mA for a thousandth of a second, it falls by {volts(sag_volts(stage))} only.{stands}"
    )


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What the capacitor is for."""
    size = farads(bench.view.circuit.by_ref[ref].value or 0.0)
    return f"Holds the supply up between gulps of current with its {size}. Larger holds longer."


KIND = StageKind(
    kind=KIND_NAME,
    title="Reservoir",
    says="Stores charge on a rail, for moments when more is asked for.",
    sources=(SOURCE,),
    order=140,
    group="supply",
    roles={"reservoir capacitor": "stores charge for moments when more current is asked for"},
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    examples=(
        Example(
            text="""pedal Store
supply VIN 9V battery
VIN > C1 100u > gnd
VIN > C2 100n > gnd
VIN > R1 10k > gnd
""",
            roles={"C1": (KIND_NAME, "reservoir capacitor"), "C2": ("decoupling", "decoupling capacitor")},
        ),
    ),
    near_misses=(
        Example(
            text="""pedal Small one
supply VIN 9V battery
VIN > C1 1u > gnd
VIN > R1 10k > gnd
""",
            roles={"C1": ("*", "")},
        ),
    ),
)
