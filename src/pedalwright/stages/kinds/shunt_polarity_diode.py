"""The shunt polarity diode: lies across the supply the wrong way round and conducts only when the supply is
reversed.

It takes no voltage from the supply; a reversed one is shorted through it, so something before it (a resistor,
a fuse) has to stand the current. A zener diode there also takes what is above its voltage.
"""

from collections.abc import Iterable

from pedalwright.circuit.circuit import GROUND
from pedalwright.stages.bench import Bench
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.stage import Example, Number, Proposal, Role, Stage, StageKind
from pedalwright.stages.supplies import anode, cathode, kind_of, supply_volts, zener_volts
from pedalwright.stages.wording import named, ohms, volts

KIND_NAME = "shunt-polarity-diode"
SOURCE = "common practice, no source"


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Diodes from ground to a positive rail, or from a negative rail to ground."""
    rails = claimed.classes.rails
    for leaf in claimed.view.leaves:
        if leaf.sort != "D" or not claimed.free(leaf.ref) or kind_of(claimed, leaf.ref) == "led":
            continue
        if anode(leaf) == GROUND and cathode(leaf) in rails and not _regulates(claimed, leaf.ref):
            yield _proposal(leaf.ref, cathode(leaf))
        elif cathode(leaf) == GROUND and anode(leaf) in rails and _is_negative(claimed, anode(leaf)):
            yield _proposal(leaf.ref, anode(leaf))


def _proposal(ref: str, rail: str) -> Proposal:
    return Proposal(kind=KIND_NAME, roles=(Role(ref, "shunt polarity diode"),), nets={"rail": rail})


def _regulates(claimed: Claimed, ref: str) -> bool:
    """A zener diode that conducts at the ordinary supply voltage makes a voltage; it does not protect."""
    held, given = zener_volts(claimed.bench, ref), supply_volts(claimed.bench)
    return kind_of(claimed, ref) == "zener-diode" and held is not None and given is not None and held < given


def _is_negative(claimed: Claimed, net: str) -> bool:
    view = claimed.view
    return any(supply.volts < 0 and view.joined[supply.net] == net for supply in view.circuit.supplies)


def _series_ohms(stage: Stage, bench: Bench) -> float | None:
    """The resistor through which the rail is fed, when there is one."""
    for ref, _, far in bench.classes.feeds:
        if far == stage.nets["rail"] and bench.view.family[ref] == "resistor":
            return bench.view.circuit.by_ref[ref].value
    return None


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The current through it when the supply is reversed, where a resistor limits it."""
    given, series = supply_volts(bench), _series_ohms(stage, bench)
    if given is None or not series:
        return ()
    current = Number(
        name="current with the supply reversed",
        unit="A",
        closed=max(given - 0.7, 0.0) / series,
        full=None,
        source="Ohm's law, 0.7 V across the diode",
    )
    return (current,)


def purpose(stage: Stage, bench: Bench) -> str:
    """What it does when all is well and when the supply is reversed."""
    ref = stage.roles[0].ref
    text = (
        f"{named(bench, ref)} does nothing while the supply is right. Reversed, it conducts and holds the "
        "rail at about "
        f"0.7 V the wrong way, which the other parts survive."
    )
    series, given = _series_ohms(stage, bench), supply_volts(bench)
    if series and given is not None:
        heat = (given - 0.7) ** 2 / series
        text += f" The current then is limited by {ohms(series)}, which has to stand {heat:.2g} W."
    else:
        text += " Nothing here limits the current then: the supply, or a fuse before it, must."
    held = zener_volts(bench, ref)
    if kind_of(bench, ref) == "zener-diode" and held is not None:
        text += f" It also takes what a supply above {volts(held)} brings."
    return text


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What the diode is for."""
    return "Conducts only when the supply is reversed and takes the current past the rest of the pedal."


KIND = StageKind(
    kind=KIND_NAME,
    title="Shunt polarity diode",
    says="Takes the current of a reversed supply past the pedal.",
    sources=(SOURCE,),
    order=115,
    group="supply",
    roles={"shunt polarity diode": "conducts only when the supply is reversed"},
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    examples=(
        Example(
            text="""pedal Short way round
supply VIN 9V wall
VIN > R1 47 > VA > C1 100u > gnd
gnd > D1 1N4001 > VA
VA > R2 10k > gnd
""",
            roles={
                "D1": (KIND_NAME, "shunt polarity diode"),
                "R1": ("supply-rc-filter", "supply filter resistor"),
            },
        ),
    ),
    near_misses=(
        Example(
            text="""pedal A lamp on the rail
supply VIN 9V wall
VIN > R1 4k7 > D1 red > gnd
""",
            roles={"D1": ("*", "")},
        ),
    ),
)
