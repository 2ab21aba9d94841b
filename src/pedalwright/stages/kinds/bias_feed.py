"""The bias feed: one resistor that brings an input its resting voltage without taking much of the signal."""

from collections.abc import Iterable
from math import pi

from pedalwright.circuit.circuit import GROUND
from pedalwright.formulas.rc import corner_hz
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.interstage import Interstage, one_each
from pedalwright.stages.resting import parallel_ohms_of
from pedalwright.stages.stage import Example, Number, Proposal, Role, Stage, StageKind
from pedalwright.stages.wording import hz, named, ohms, volts

KIND_NAME = "bias-feed"
SOURCE = "f = 1/(2 pi R C)"
ROLE = "bias feed resistor"
AUDIBLE_HZ = 60.0
"""above this the resistor and the coupling capacitor cut bass on purpose: a high-pass, not a bias feed"""


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Resistors from bases, gates and non-inverting inputs to steady nets, where nothing else brings direct
    current.
    """
    inter = Interstage(claimed)
    nets = sorted(inter.at, key=claimed.view.circuit.nets.index)
    for net in nets:
        leaves = _feeds(inter, net) if net in inter.flow.resting else _ahead(inter, net)
        if leaves:
            far = leaves[-1].other(net)
            last = next((end for leaf in leaves for end in (leaf.a, leaf.b) if inter.still(end)), far)
            ends = [end for leaf in leaves for end in (leaf.a, leaf.b) if end not in (net, last)]
            inner = [end for end in ends if not inter.still(end)]
            yield Proposal(
                kind=KIND_NAME,
                roles=one_each(Role(leaf.ref, ROLE) for leaf in leaves),
                branches={"feed": leaves},
                nets={"at": net, "from": last, **{f"via{n}": name for n, name in enumerate(inner)}},
            )


def _feeds(inter: Interstage, net: str) -> tuple[Leaf, ...]:
    resistors = [leaf for leaf in inter.on(net) if leaf.sort == "R" and not leaf.variable]
    if any(leaf.sort == "D" for leaf in inter.arriving(net)):
        return ()
    straight = tuple(leaf for leaf in resistors if inter.still(leaf.other(net)))
    own = _from_own_source(inter, net, resistors)
    if own:
        return own
    if inter.flow.is_fed_dc(net, without=frozenset(leaf.ref for leaf in straight)):
        return ()
    return straight or _raised(inter, net, resistors)


def _from_own_source(inter: Interstage, net: str, resistors: list[Leaf]) -> tuple[Leaf, ...]:
    """The one resistor on a gate comes from the transistor's own source: the gate rests at its voltage."""
    bottoms = {item.bottom for item in inter.claimed.view.transistors if item.control == net}
    only = len(resistors) == 1 and len([leaf for leaf in inter.claimed.view.on(net) if leaf.sort == "R"]) == 1
    return tuple(resistors) if only and resistors[0].other(net) in bottoms else ()


def _ahead(inter: Interstage, net: str) -> tuple[Leaf, ...]:
    """A resistor to a bias net where a coupling capacitor comes in, with a further part before the input
    itself.
    """
    coming = [leaf for leaf in inter.claimed.view.on(net) if inter.flow.brings_to(leaf, net)]
    feeds = tuple(
        leaf for leaf in inter.to_still(net, "R") if not leaf.variable and GROUND not in (leaf.a, leaf.b)
    )
    if not coming or not feeds or any(leaf.sort != "C" for leaf in coming) or net in inter.flow.sources:
        return ()
    lowest = corner_hz(parallel_ohms_of(feeds), sum(leaf.value for leaf in coming))
    return feeds if lowest < AUDIBLE_HZ else ()


def _raised(inter: Interstage, net: str, resistors: list[Leaf]) -> tuple[Leaf, ...]:
    """Two resistors in a row to a steady net, the middle lifted along with the signal by a capacitor claimed
    elsewhere.
    """
    others = [leaf for leaf in inter.claimed.view.on(net) if leaf not in resistors]
    for first in resistors:
        middle = first.other(net)
        if middle in inter.flow.sources or middle in inter.flow.jacks or not others:
            continue
        onward = tuple(leaf for leaf in inter.to_still(middle, "R") if not leaf.variable)
        lifted = onward and all(inter.claimed.free(leaf.ref) for leaf in onward)
        if not onward and _is_divided(inter, middle):
            return (first,)
        if lifted and not any(leaf.sort == "C" for leaf in inter.on(middle)):
            return (first, *onward)
    return ()


def _is_divided(inter: Interstage, middle: str) -> bool:
    """The middle is a divider between the supply and ground that has been told already."""
    ends = {leaf.other(middle) for leaf in inter.claimed.view.on(middle) if leaf.sort == "R"}
    return GROUND in ends and bool(ends & (inter.claimed.classes.rails | inter.claimed.classes.bias))


def _coupling_farads(stage: Stage, bench: Bench) -> float | None:
    """The capacitor through which the signal comes in, when there is one."""
    at = stage.nets["at"]
    found = [
        leaf.value
        for leaf in bench.view.on(at)
        if leaf.sort == "C" and not bench.classes.is_still(leaf.other(at)) and bench.flow.brings_to(leaf, at)
    ]
    return max(found, default=None)


def _ohms(stage: Stage) -> float:
    return sum(leaf.value for leaf in stage.leaves("feed"))


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The resting voltage it brings, and the bass corner with the coupling capacitor."""
    at, start = bench.volts(stage.nets["at"]), bench.volts(stage.nets["from"])
    if stage.nets["from"] == GROUND:
        start = 0.0
    found = [
        Number(name="resting voltage", unit="V", closed=start, full=at, source="no current into the input")
    ]
    coupling = _coupling_farads(stage, bench)
    if coupling:
        found.append(
            Number(
                name="bass corner",
                unit="Hz",
                closed=corner_hz(_ohms(stage), coupling),
                full=None,
                source=SOURCE,
            )
        )
    return tuple(found)


def purpose(stage: Stage, bench: Bench) -> str:
    """What it brings, and what it costs."""
    at, value = bench.volts(stage.nets["at"]), _ohms(stage)
    parts = " and ".join(named(bench, role.ref) for role in stage.roles)
    rest = "" if at is None else f", {volts(at)}"
    text = (
        f"{parts} {'bring' if len(stage.roles) > 1 else 'brings'} the input its resting voltage{rest}. At "
        f"{ohms(value)} hardly any signal is lost in it."
    )
    coupling = _coupling_farads(stage, bench)
    if coupling:
        text += f" With the capacitor before it bass falls below {hz(1.0 / (2 * pi * value * coupling))}."
    return text


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What the resistor is for."""
    return f"Brings the resting voltage; the stage before sees its {ohms(_ohms(stage))} as a load."


KIND = StageKind(
    kind=KIND_NAME,
    title="Bias feed",
    says="Brings an input its resting voltage.",
    sources=(SOURCE,),
    order=569,
    group="bias",
    roles={ROLE: "brings the resting voltage"},
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    examples=(
        Example(
            text="""pedal Gate at ground
supply VIN 9V wall
input IN pickup
output OUT 1M
part Q1 n-jfet 2N5457
IN > C1 22n > Q1.g
Q1.g > R1 1M > gnd
Q1.d > VIN
Q1.s > R2 10k > gnd
Q1.s > C2 1u > OUT
""",
            roles={"R1": (KIND_NAME, ROLE), "C1": ("dc-blocking", "dc-blocking capacitor")},
        ),
    ),
    near_misses=(
        Example(
            text="""pedal Fed by the stage before
supply VIN 9V wall
input IN line
output OUT 100k
part U1 dual-opamp TL072 v+=VIN v-=gnd
VIN > R1 22k > VB > R2 22k > gnd
VB > C1 47u > gnd
IN > C2 100n > U1a.non
U1a.non > R3 1M > VB
U1a.inv > U1a.out
U1a.out > R4 47k > U1b.non
U1b.non > R5 22k > VB
U1b.inv > U1b.out
U1b.out > C3 1u > OUT
""",
            roles={"R5": ("*", "")},
        ),
        Example(
            text="""pedal At the jack
supply VIN 9V wall
input IN pickup
output OUT 1M
part Q1 n-jfet 2N5457
IN > R3 2M2 > gnd
IN > C1 22n > Q1.g
Q1.g > R1 1M > gnd
Q1.d > VIN
Q1.s > R2 10k > gnd
Q1.s > C2 1u > OUT
""",
            roles={"R3": ("*", "")},
        ),
    ),
)
