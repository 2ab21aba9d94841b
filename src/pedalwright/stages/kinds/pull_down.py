"""The pull-down: a large resistor to ground that empties a coupling capacitor, so that plugging in or
switching is quiet.
"""

from collections.abc import Iterable

from pedalwright.circuit.circuit import GROUND
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.interstage import Interstage
from pedalwright.stages.stage import Example, Number, Proposal, Role, Stage, StageKind
from pedalwright.stages.wording import named, ohms
from pedalwright.units.values import print_value

KIND_NAME = "pull-down"
ROLE = "pull-down resistor"
SOURCE = "common practice, no source"
CLEARLY_LARGER = 10.0
"""a resistor at a jack this many times the series resistor before it takes no notable part of the signal"""


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Resistors to ground at jacks and behind coupling capacitors."""
    inter = Interstage(claimed)
    for net in inter.at:
        for leaf in inter.to_still(net, "R"):
            if leaf.variable or any(other.sort == "D" for other in inter.arriving(net)):
                continue
            if _at_jack(inter, net, leaf) or _empties(claimed, inter, net) or _only_drains(inter, net, leaf):
                yield Proposal(
                    kind=KIND_NAME,
                    roles=(Role(leaf.ref, ROLE),),
                    branches={"down": (leaf,)},
                    nets={"at": net},
                )


def _at_jack(inter: Interstage, net: str, leaf: Leaf) -> bool:
    if net not in inter.flow.jacks:
        return False
    series = [other.value for other in inter.arriving(net, "R") if not other.variable]
    return all(leaf.value >= CLEARLY_LARGER * value for value in series)


def _empties(claimed: Claimed, inter: Interstage, net: str) -> bool:
    """A capacitor comes in here and no resistor does."""
    coming = [leaf for leaf in claimed.view.on(net) if inter.flow.brings_to(leaf, net)]
    return bool(coming) and all(leaf.sort == "C" for leaf in coming)


def _only_drains(inter: Interstage, net: str, leaf: Leaf) -> bool:
    """Between coupling capacitors, behind a far smaller resistor: it takes no notable part of the signal."""
    coming = [other for other in inter.claimed.view.on(net) if inter.flow.brings_to(other, net)]
    series = [other for other in coming if other.sort == "R" and not other.variable]
    return (
        GROUND in (leaf.a, leaf.b)
        and bool(series)
        and len(series) == len(coming)
        and all(leaf.value >= CLEARLY_LARGER * other.value for other in series)
        and net not in inter.flow.controls
        and not inter.flow.is_fed_dc(net)
    )


def _coupled(stage: Stage, bench: Bench) -> Leaf | None:
    at = stage.nets["at"]
    found = [
        leaf for leaf in bench.view.on(at) if leaf.sort == "C" and not bench.classes.is_still(leaf.other(at))
    ]
    return max(found, key=lambda leaf: leaf.value, default=None)


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """How long the capacitor takes to empty."""
    coupled, leaf = _coupled(stage, bench), next(stage.branch("down").leaves())
    if coupled is None:
        return ()
    wait = 5 * leaf.value * coupled.value
    return (
        Number(
            name=f"time until {coupled.ref} is empty",
            unit="s",
            closed=wait,
            full=None,
            source="five times R C",
        ),
    )


def purpose(stage: Stage, bench: Bench) -> str:
    """What it empties, and what it costs."""
    ref, coupled = stage.roles[0].ref, _coupled(stage, bench)
    leaf = next(stage.branch("down").leaves())
    text = (
        f"{named(bench, ref)} keeps this point at ground while nothing is plugged in, so that plugging in "
        "or switching does not thump."
    )
    if coupled is not None:
        text += (
            f" It empties {named(bench, coupled.ref)} in about "
            f"{print_value(5 * leaf.value * coupled.value, 's')}."
        )
    return f"{text} As a load it is {ohms(leaf.value)}, next to nothing."


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What the resistor is for."""
    leaf = next(stage.branch("down").leaves())
    return f"Leads stray charge to ground through {ohms(leaf.value)}; smaller would load what drives it."


KIND = StageKind(
    kind=KIND_NAME,
    title="Pull-down",
    says="Empties a coupling capacitor, so that switching is quiet.",
    sources=(SOURCE,),
    order=670,
    group="bias",
    roles={ROLE: "leads stray charge to ground"},
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    examples=(
        Example(
            text="""pedal No thump
input IN line
output OUT 100k
IN > R1 1M > gnd
IN > C1 470n > OUT
OUT > R2 100k > gnd
""",
            roles={
                "R1": (KIND_NAME, ROLE),
                "R2": (KIND_NAME, ROLE),
                "C1": ("dc-blocking", "dc-blocking capacitor"),
            },
        ),
    ),
    near_misses=(
        Example(
            text="""pedal Divides
input IN line
output OUT 100k
IN > R1 22k > OUT > R2 22k > gnd
""",
            roles={"R2": ("*", "")},
        ),
    ),
)
