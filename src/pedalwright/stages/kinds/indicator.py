"""The indicator: a light-emitting diode and the resistor that sets its current."""

from collections.abc import Iterable

from pedalwright.circuit.circuit import GROUND
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.kinds._indicator_examples import EXAMPLES, KIND_NAME, NEAR_MISSES
from pedalwright.stages.stage import Number, Proposal, Role, Stage, StageKind
from pedalwright.stages.supplies import figure_of, kind_of, role_of, supply_volts
from pedalwright.stages.view import Transistor
from pedalwright.stages.wording import named, ohms, volts
from pedalwright.units.values import print_value

SOURCE = "Ohm's law with the diode's forward voltage from its card"
USUAL_FORWARD_V = 2.0
DARK_A = 1e-6
"""with less than this a lamp does not light as the circuit stands: a contact is open, or it leaks only"""


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Light-emitting diodes in a chain with a resistor between steady nets, switch contacts or a switching
    transistor.
    """
    done: set[str] = set()
    for leaf in claimed.view.leaves:
        if leaf.ref in done or not claimed.free(leaf.ref) or kind_of(claimed, leaf.ref) != "led":
            continue
        chain, ends = _chain(claimed, leaf)
        resistors = [link for link in chain if link.sort == "R" and not link.variable]
        if not resistors or not _lights(claimed, ends):
            continue
        done |= {link.ref for link in chain}
        yield _proposal(claimed, chain, ends)
    yield from _optocoupler_lamps(claimed)


def _optocoupler_lamps(claimed: Claimed) -> Iterable[Proposal]:
    """A resistor between something steady or an amplifier's output and the lamp inside an optocoupler."""
    view = claimed.view
    drivers = claimed.classes.rails | {GROUND} | {amp.out for amp in view.amplifiers}
    drivers |= {item.top for item in view.transistors}
    for part in view.parts_of("optocoupler"):
        for pin in ("led+", "led-"):
            net = view.net(part, pin)
            leaves = view.on(net)
            if net in drivers or len(leaves) != 1 or leaves[0].sort != "R" or not claimed.free(leaves[0].ref):
                continue
            far = leaves[0].other(net)
            if far in drivers:
                yield Proposal(
                    kind=KIND_NAME,
                    roles=(Role(leaves[0].ref, "LED series resistor"),),
                    branches={"lamps": (), "resistors": leaves},
                    nets={"top": far, "bottom": net},
                )


def _chain(claimed: Claimed, lamp: Leaf) -> tuple[tuple[Leaf, ...], tuple[str, str]]:
    """The lamp with every resistor and lamp in a row with it, and the nets where the row ends."""
    links, ends = [lamp], []
    for end in (lamp.a, lamp.b):
        here, last = end, lamp
        while True:
            onward = _next(claimed, here, last)
            if onward is None or onward in links:
                break
            links.append(onward)
            here, last = onward.other(here), onward
        ends.append(here)
    return tuple(links), (ends[0], ends[1])


def _next(claimed: Claimed, net: str, last: Leaf) -> Leaf | None:
    view = claimed.view
    if net in view.ports or net in claimed.classes.rails or view.active_pins.get(net):
        return None
    others = [leaf for leaf in view.on(net) if leaf.name != last.name]
    if len(others) != 1 or not claimed.free(others[0].ref):
        return None
    lamp = others[0].sort == "D" and kind_of(claimed, others[0].ref) == "led"
    return others[0] if others[0].sort == "R" or lamp else None


def _lights(claimed: Claimed, ends: tuple[str, str]) -> bool:
    """One end on a rail or ground, the other on another of them, an open contact, or a driving transistor."""
    fixed = claimed.classes.rails | {GROUND}
    known = [end in fixed for end in ends]
    if all(known):
        return ends[0] != ends[1]
    if not any(known):
        return False
    open_end = ends[known.index(False)]
    driven = any(amp.out == open_end for amp in claimed.view.amplifiers)
    return driven or _is_contact(claimed, open_end) or bool(_drivers(claimed, open_end))


def _is_contact(claimed: Claimed, net: str) -> bool:
    """A net with nothing but a switch contact at its end."""
    view = claimed.view
    families = [view.family[pin.part.ref] for pin in view.pins(net)]
    return "switch" in families and len(view.on(net)) == 1 and not view.active_pins.get(net)


def _drivers(claimed: Claimed, net: str) -> tuple[Transistor, ...]:
    return tuple(item for item in claimed.view.transistors if net in (item.top, item.bottom))


def _proposal(claimed: Claimed, chain: tuple[Leaf, ...], ends: tuple[str, str]) -> Proposal:
    roles = [Role(leaf.ref, "indicator LED" if leaf.sort == "D" else "LED series resistor") for leaf in chain]
    for end in ends:
        for driver in _drivers(claimed, end):
            if claimed.free(driver.ref) and _only_switches(claimed, driver, end):
                roles.append(Role(driver.ref, "switching transistor"))
                roles += [
                    Role(leaf.ref, "base resistor")
                    for leaf in claimed.free_on(driver.control)
                    if leaf.sort == "R"
                ]
    branches = {
        "lamps": tuple(x for x in chain if x.sort == "D"),
        "resistors": tuple(x for x in chain if x.sort == "R"),
    }
    return Proposal(
        kind=KIND_NAME,
        roles=tuple(dict.fromkeys(roles)),
        branches=branches,
        nets={"top": ends[0], "bottom": ends[1]},
    )


def _only_switches(claimed: Claimed, driver: Transistor, net: str) -> bool:
    """The lamp is all there is on the collector or drain, and the other end of the transistor stands on a
    steady net.
    """
    if net != driver.top or not claimed.classes.is_still(driver.bottom):
        return False
    leaves = claimed.view.on(driver.control)
    return len(claimed.view.on(net)) == 1 and all(leaf.sort == "R" for leaf in leaves)


def lamp_amperes(stage: Stage, bench: Bench) -> float | None:
    """The current through the lamp when it is on: what is left of the supply over the resistor, in
    amperes.
    """
    given = supply_volts(bench)
    tops = [
        bench.volts(stage.nets[name]) for name in ("top", "bottom") if stage.nets[name] in bench.classes.rails
    ]
    level = next((value for value in tops if value is not None), given)
    if level is None:
        return None
    forward = sum(
        figure_of(bench, leaf.ref, "forward_v") or USUAL_FORWARD_V
        for branch in stage.branches["lamps"]
        for leaf in branch.leaves()
    )
    forward = forward or USUAL_FORWARD_V
    series = sum(leaf.value for leaf in stage.leaves("resistors"))
    return max(level - forward, 0.0) / series


def solved_amperes(stage: Stage, bench: Bench) -> float | None:
    """The current in the solved circuit: the voltage over the first resistor by its value, in amperes; None
    where it is not certified, or the lamp is dark as the circuit stands.
    """
    first = next(iter(stage.leaves("resistors")), None)
    across = _across(bench, first) if first is not None else None
    if first is None or across is None or abs(across) < DARK_A * first.value:
        return None
    return abs(across) / first.value


def _across(bench: Bench, leaf: Leaf) -> float | None:
    one, other = bench.volts(leaf.a), bench.volts(leaf.b)
    return None if one is None or other is None else one - other


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The lamp's current."""
    current = lamp_amperes(stage, bench)
    full = None if _mover(stage, bench) else solved_amperes(stage, bench)
    return (Number(name="current when lit", unit="A", closed=current, full=full, source=SOURCE),)


def _mover(stage: Stage, bench: Bench) -> str:
    """The amplifier or transistor that lights the lamp, or an empty string."""
    ends = {stage.nets["top"], stage.nets["bottom"]} - bench.classes.rails - {GROUND}
    amplifier = next((amp.ref for amp in bench.view.amplifiers if amp.out in ends), "")
    return amplifier or next(
        (item.ref for item in bench.view.transistors if {item.top, item.bottom} & ends), ""
    )


def _flows(stage: Stage, bench: Bench) -> str:
    """The current in words: solved where the lamp is lit as the circuit stands, else from its card."""
    solved, by_card = solved_amperes(stage, bench), lamp_amperes(stage, bench)
    if solved is not None:
        return print_value(solved, "A")
    return "" if by_card is None else f"about {print_value(by_card, 'A')}"


def purpose(stage: Stage, bench: Bench) -> str:
    """What it shows, and what it takes for that."""
    lamps = " and ".join(named(bench, ref) for ref in stage.with_role("indicator LED"))
    if not lamps:
        return f"{named(bench, stage.roles[0].ref)} sets the current of the lamp inside the optocoupler."
    flows, mover = _flows(stage, bench), _mover(stage, bench)
    lit = "" if solved_amperes(stage, bench) is not None else " when it is lit"
    takes = f" It takes {flows}{lit}." if flows else ""
    if not mover:
        return f"{lamps} shows that the pedal, or this part of it, is on.{takes}"
    at_rest = takes.replace("It takes", "At rest it takes") if not lit else takes
    if mover in stage.refs or any(item.ref == mover for item in bench.view.transistors):
        return f"{lamps} lights while {mover} conducts.{at_rest}"
    return f"{lamps} follows the output of {mover}: it brightens and dims as that moves.{at_rest}"


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for."""
    role, current = role_of(stage, ref), _flows(stage, bench)
    flows = f" {current[0].upper()}{current[1:]} flows." if current else ""
    if role == "LED series resistor":
        value = bench.view.circuit.by_ref[ref].value or 0.0
        return (
            f"Sets the lamp's current with {ohms(value)}: half of it makes the lamp about twice as "
            f"bright.{flows}"
        )
    if role == "switching transistor":
        return "Switches the lamp on and off for whoever moves its base, without loading it."
    if role == "base resistor":
        return "Limits the current into the base, or lets the base fall when nothing drives it."
    return f"Lights up. Its flat side, the cathode, goes towards ground.{_drop(stage, ref, bench)}"


def _drop(stage: Stage, ref: str, bench: Bench) -> str:
    """What stands across a lamp: solved where it is lit as the circuit stands, else from its card."""
    leaf = next((leaf for leaf in stage.leaves("lamps") if leaf.ref == ref), None)
    across = _across(bench, leaf) if leaf is not None else None
    if across is not None and solved_amperes(stage, bench) is not None:
        return f" {volts(abs(across))} stands across it."
    forward = figure_of(bench, ref, "forward_v")
    return "" if forward is None else f" When lit, about {volts(forward)} stands across it."


KIND = StageKind(
    kind=KIND_NAME,
    title="Indicator",
    says="Shows that the pedal is on.",
    sources=(SOURCE,),
    order=190,
    group="supply",
    roles={
        "indicator LED": "lights up",
        "LED series resistor": "sets the lamp's current",
        "switching transistor": "switches the lamp",
        "base resistor": "limits the current into the switching transistor",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    examples=EXAMPLES,
    near_misses=NEAR_MISSES,
)
