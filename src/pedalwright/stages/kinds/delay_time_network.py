"""The delay-time network: the current drawn out of the echo chip's pin 6 sets its clock, and so the delay.

More resistance to ground means a slower clock and a longer delay: 29.7 ms and 11.46 ms for every kilohm. A
slow oscillator that adds to or takes from the current makes the delay wander: chorus, vibrato. Too little
resistance at switch-on may keep the clock from starting; a transistor can hold the pin low only after that
moment.
"""

from collections.abc import Iterable

from pedalwright.circuit.circuit import GROUND
from pedalwright.devices.kinds.echo_chip import FIGURES
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.kinds._delay_time_network_examples import EXAMPLES, NEAR_MISSES
from pedalwright.stages.passive import network_transfer
from pedalwright.stages.stage import Number, Proposal, Role, Stage, StageKind, Transfer
from pedalwright.stages.supplies import role_of
from pedalwright.stages.time_pin import TimePin, ohms_to_ground
from pedalwright.stages.view import View
from pedalwright.stages.wording import named, ohms
from pedalwright.units.values import print_value

KIND_NAME = "delay-time-network"
SOURCE = (
    "t = 29.70 ms + 11.46 ms per kohm: T. Wiltshire, Useful design equations, 2015; least squares on the "
    "maker's table"
)
SAFE_SOURCE = "maker's data sheet V1.6, note 5 (1 kohm); 2 kohm: common practice, no source"
BASE_WORDS = {
    "R": "start-up resistor",
    "C": "start-up capacitor",
    "D": "start-up diode",
    "L": "start-up resistor",
}


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Everything between each echo chip's time pin and ground or what moves it."""
    used: set[str] = set()
    for part in claimed.view.parts_of("echo-chip"):
        pin = TimePin(claimed, part)
        if not pin.leaves:
            continue
        roles = [Role(leaf.ref, _word(claimed, pin, leaf)) for leaf in pin.leaves]
        touched = {pin.net} | {net for leaf in pin.leaves for net in (leaf.a, leaf.b)}
        base: list[Leaf] = []
        for starter in pin.starters:
            if starter.top in touched and starter.ref not in used:
                used.add(starter.ref)
                base = list(claimed.free_on(starter.control))
                roles.append(Role(starter.ref, "start-up transistor"))
                roles += [Role(leaf.ref, BASE_WORDS[leaf.sort]) for leaf in base]
        yield Proposal(
            kind=KIND_NAME,
            roles=_first_words(roles),
            inputs=pin.inputs,
            output=pin.net,
            branches={"parts": pin.leaves, "timing": pin.timing, "base": tuple(base)},
            nets={"time": pin.net, **{f"inner{n}": net for n, net in enumerate(pin.inner)}},
        )


def _first_words(roles: list[Role]) -> tuple[Role, ...]:
    found: dict[str, Role] = {}
    for role in roles:
        found.setdefault(role.ref, role)
    return tuple(found.values())


def _word(claimed: Claimed, pin: TimePin, leaf: Leaf) -> str:
    is_knob = claimed.view.family[leaf.ref] == "knob"
    timing = {item.ref for item in pin.timing}
    if is_knob:
        return "time knob" if leaf.ref in timing else "depth knob"
    if leaf.ref in timing:
        return "stopper resistor" if _guards_a_knob(claimed, pin, leaf) else "time resistor"
    return "modulation capacitor" if leaf.sort == "C" else "modulation resistor"


def _guards_a_knob(claimed: Claimed, pin: TimePin, leaf: Leaf) -> bool:
    """In a row with a time knob: without the resistor the knob alone could short the pin to ground."""
    knobs = {item.ref for item in pin.timing if claimed.view.family[item.ref] == "knob"}
    if not knobs:
        return False
    here, seen = {leaf.a, leaf.b} - {GROUND}, {leaf.name}
    rest = [item for item in pin.timing if item.name != leaf.name]
    direct = any({item.a, item.b} == {leaf.a, leaf.b} for item in rest)
    return (not direct and GROUND not in (leaf.a, leaf.b)) or _ends_the_knob(claimed, leaf, here, rest, seen)


def _ends_the_knob(claimed: Claimed, leaf: Leaf, here: set[str], rest: list[Leaf], seen: set[str]) -> bool:
    """Between a knob and ground, on a net with nothing else of the network."""
    if GROUND not in (leaf.a, leaf.b):
        return False
    others = [item for item in rest if here & {item.a, item.b} and item.name not in seen]
    return bool(others) and all(claimed.view.family[item.ref] == "knob" for item in others)


def delay_s(resistance: float) -> float:
    """The delay with a resistance from pin 6 to ground, in seconds."""
    return FIGURES["least_delay_s"].value + FIGURES["delay_s_per_ohm"].value * resistance


def time_ohms(stage: Stage, bench: Bench, turn: float | None = None) -> float | None:
    """Resistance from the pin to ground, with every time knob at a position (None: as they stand),
    in ohms.
    """
    names = frozenset(leaf.name for branch in stage.branches["timing"] for leaf in branch.leaves())
    view = bench.view
    knobs = stage.with_role("time knob")
    if turn is not None and knobs:
        view = View(view.circuit.with_settings(dict.fromkeys(knobs, turn)))
    return ohms_to_ground(view, bench, names, stage.nets["time"])


def range_ohms(stage: Stage, bench: Bench) -> tuple[float, float] | None:
    """Least and most resistance over the turn of the time knob; None without a knob or a way to ground."""
    if not stage.with_role("time knob"):
        return None
    ends = [time_ohms(stage, bench, turn) for turn in (0.0, 10.0)]
    found = sorted(end for end in ends if end is not None)
    return (found[0], found[-1]) if len(found) == 2 else None


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Resistance and delay now, and over the knob's turn."""
    now, span = time_ohms(stage, bench), range_ohms(stage, bench)
    found = []
    if now is not None:
        found.append(
            Number(name="resistance at pin 6", unit="ohm", closed=now, full=None, source="Ohm's law")
        )
        found.append(Number(name="delay", unit="s", closed=delay_s(now), full=None, source=SOURCE))
    if span is not None:
        for name, value in zip(("shortest delay", "longest delay"), span, strict=True):
            found.append(Number(name=name, unit="s", closed=delay_s(value), full=None, source=SOURCE))
    return tuple(found)


def _span(stage: Stage, bench: Bench) -> str:
    now, span = time_ohms(stage, bench), range_ohms(stage, bench)
    if now is None:
        return "No resistance leads from pin 6 to ground here."
    text = f"{ohms(now)} to ground make a delay of about {_roughly(delay_s(now))}"
    if span is None:
        return f"{text}."
    low, high = (_roughly(delay_s(value)) for value in span)
    return f"{text}; the knob goes from {low} to {high}."


def _roughly(seconds: float) -> str:
    """Two digits: the fitted law is no better, and the maker's table tells the rest."""
    return print_value(float(f"{seconds:.2g}"), "s")


def purpose(stage: Stage, bench: Bench) -> str:
    """What sets the delay, from where to where, and what moves it."""
    moved = ""
    if stage.inputs:
        moved = (
            " What is led in here adds to the current of pin 6 and takes from it, so the delay, and with "
            "it the pitch, wanders."
        )
    return f"The current drawn from pin 6 sets the chip's clock. {_span(stage, bench)}{moved}"


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    role = role_of(stage, ref)
    part = bench.view.circuit.by_ref[ref]
    if role == "stopper resistor":
        value = part.value or 0.0
        span = range_ohms(stage, bench)
        least = value if span is None else span[0]
        return (
            f"Always stays in the way, so that pin 6 never sees less than {ohms(least)}: below 1 kΩ the "
            "clock may not start "
            f"at switch-on, 2 kΩ is safe. It sets the shortest delay, {print_value(delay_s(least), 's')}."
        )
    words = {
        "time knob": (
            "Moves the delay: more resistance, slower clock, longer delay and more noise. "
            f"{_span(stage, bench)}"
        ),
        "time resistor": f"Sets the delay. {_span(stage, bench)}",
        "depth knob": "Sets how much of the slow oscillator reaches pin 6: the depth of the wandering.",
        "modulation capacitor": (
            "Lets only the movement through, so that the depth does not shift the average delay."
        ),
        "start-up transistor": (
            "Holds the pin's path to ground open at switch-on and closes it once the clock runs."
        ),
        "start-up resistor": "Charges the start-up capacitor: with it sets the wait after switch-on.",
        "start-up capacitor": "Keeps the start-up transistor off until it is charged.",
        "start-up diode": (
            "Empties the start-up capacitor when the supply goes, so that the next start waits again."
        ),
    }
    if role == "modulation resistor":
        return (
            "Turns the slow oscillator's voltage into a current at pin 6; smaller than "
            f"{named(bench, ref)} would move the pitch more."
        )
    return words.get(role, "")


def transfer(stage: Stage, bench: Bench) -> Transfer | None:
    """What moves the pin, by exact reduction; None when nothing does."""
    if not stage.inputs:
        return None
    leaves = [leaf for branch in stage.branches["parts"] for leaf in branch.leaves()]
    inside = {net for name, net in stage.nets.items() if name.startswith("inner")} | {stage.output}
    nets = dict.fromkeys(net for leaf in leaves for net in (leaf.a, leaf.b))
    known = tuple(net for net in nets if net not in inside and not bench.classes.is_still(net))
    return network_transfer(
        bench, leaves, known, stage.output, formula="nodal equations of the parts on pin 6"
    )


KIND = StageKind(
    kind=KIND_NAME,
    title="Delay-time network",
    says="Sets how long the echo chip waits.",
    sources=(SOURCE, SAFE_SOURCE),
    order=310,
    group="echo",
    roles={
        "time knob": "moves the delay",
        "stopper resistor": "keeps enough resistance for the clock to start",
        "time resistor": "sets the delay",
        "modulation resistor": "leads the slow oscillator to pin 6",
        "modulation capacitor": "lets only movement through",
        "depth knob": "sets how far the delay wanders",
        "start-up transistor": "waits after switch-on before it lowers the resistance",
        "start-up resistor": "sets the wait after switch-on",
        "start-up capacitor": "sets the wait after switch-on",
        "start-up diode": "readies the wait for the next switch-on",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=EXAMPLES,
    near_misses=NEAR_MISSES,
)
