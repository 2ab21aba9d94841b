"""The integrator: a capacitor in the feedback collects the current that comes in, so the output runs up or
down.

A steady input makes a steady slope; a square wave makes a triangle. For signals the gain falls by half with
every octave and the phase turns by 90 degrees, which is what state-variable filters are made of.
"""

from collections.abc import Iterable

from pedalwright.formulas.amplifier import inverting_gain
from pedalwright.stages.amplifier_says import (
    blocking_words,
    corner_hz,
    leaf_named,
    role_of,
    swept,
    with_roles,
)
from pedalwright.stages.amplifier_shape import (
    FEEDBACK_WORDS,
    INPUT_WORDS,
    Words,
    is_plain,
    propose,
    signal_inputs,
    stiff_transfer,
)
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch, conducts, passes_dc, resistance, sorts
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.network import AmplifierNetwork
from pedalwright.stages.slow_oscillator import triangle_number, triangle_words
from pedalwright.stages.stage import Example, Number, Proposal, Stage, StageKind, Transfer
from pedalwright.stages.wording import capacitor_in, farads, hz, ohms, plain_resistance

SOURCE = (
    "Coughlin and Driscoll, Operational Amplifiers and Linear Integrated Circuits, ch. 6; Floyd, "
    "Electronic Devices, ch. 13"
)
KIND_NAME = "integrator"
LEAK_HZ = 20.0
"""a resistor across the capacitor still leaves an integrator when it acts below hearing only (common
practice, no source)
"""
WORDS: dict[str, Words] = {
    "input": {**INPUT_WORDS, "R": "integrating resistor", "knob": "rate knob"},
    "feedback": {**FEEDBACK_WORDS, "C": "integrating capacitor", "R": "feedback resistor"},
}


def _collects(feedback: Branch) -> bool:
    """A capacitance alone, or one whose leak acts below hearing only."""
    if "D" in sorts(feedback) or capacitor_in(feedback) is None:
        return False
    if sorts(feedback) == {"C"}:
        return True
    total = sum(leaf.value for leaf in feedback.leaves() if leaf.sort == "C")
    return passes_dc(feedback) and corner_hz(resistance(feedback), total) < LEAK_HZ and _is_beside(feedback)


def _is_beside(feedback: Branch) -> bool:
    """Capacitor and resistor side by side, nothing else."""
    return type(feedback).__name__ == "Parallel" and all(
        len(sorts(link)) == 1
        for link in feedback.links  # type: ignore[union-attr]
    )


def _branches(network: AmplifierNetwork) -> dict[str, tuple[Branch, ...]] | None:
    feedback = network.feedback
    inputs = signal_inputs(network)
    if not network.non_still or not is_plain(network) or feedback is None or not inputs:
        return None
    into = tuple(
        branch for net in inputs if (branch := network.joined(net, network.amplifier.inv)) is not None
    )
    resistive = all("R" in sorts(branch) and conducts(branch) for branch in into)
    if len(into) != len(inputs) or not resistive or not _collects(feedback) or network.shunt is not None:
        return None
    return {"input": into, "feedback": (feedback,)}


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free inverting amplifier with a capacitor as its feedback and resistors as its inputs."""
    for network in claimed.networks():
        branches = _branches(network)
        if branches is not None:
            yield propose(claimed, network, KIND_NAME, branches, WORDS, inputs=signal_inputs(network))


def transfer(stage: Stage, bench: Bench) -> Transfer:
    """-Zf / Zi, Zf the capacitor: -1 / (s R C)."""
    feedback = stage.branch("feedback")
    return stiff_transfer(
        stage,
        lambda s: tuple(
            inverting_gain(feedback.impedance(s), branch.impedance(s)) for branch in stage.branches["input"]
        ),
        formula="H = -1 / (s R C)",
        source=SOURCE,
    )


def unity_hz(stage: Stage) -> float:
    """Frequency at which the gain is one, in hertz."""
    total = sum(leaf.value for leaf in stage.branch("feedback").leaves() if leaf.sort == "C")
    return corner_hz(plain_resistance(stage.branch("input")), total)


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The frequency of gain one, and of the triangle when a trigger drives it."""
    unity = Number(name="gain is 1 at", unit="Hz", closed=unity_hz(stage), full=None, source=SOURCE)
    return (unity, *triangle_number(stage, bench))


def purpose(stage: Stage, bench: Bench) -> str:
    """What it does here, with its numbers."""
    triangle = triangle_words(stage, bench)
    if triangle:
        return (
            "Turns the square wave of its trigger into a triangle: as long as the input stays put, "
            f"{with_roles(stage, bench, 'integrating capacitor')} fills or empties at a steady rate. "
            f"{triangle}"
        )
    unity = unity_hz(stage)
    return (
        f"Adds up its input over time: {with_roles(stage, bench, 'integrating capacitor')} collects the "
        f"current that comes through {with_roles(stage, bench, 'integrating resistor', 'rate knob')}. The "
        f"gain is 1 at {hz(unity)}, halves with every octave upward and doubles downward; the phase turns "
        "by 90 degrees, and the signal is turned over."
    )


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    role, leaf = role_of(stage, ref), leaf_named(stage, ref)
    value = plain_resistance(stage.branch("input"))
    if role == "integrating resistor":
        return (
            f"Sets the current that fills the capacitor; with all in its row it is {ohms(value)}. Larger: "
            "slower."
        )
    if role == "integrating capacitor" and leaf is not None:
        return (
            f"Collects the current: {farads(leaf.value)} with {ohms(value)} gives a gain of 1 at "
            f"{hz(unity_hz(stage))}. Larger: slower."
        )
    if role == "rate knob":
        slow, fast = sorted(unity_hz(swept(stage, ref, bench, turn)) for turn in (0.0, 1.0))
        said = triangle_words(stage, bench)
        return (
            "Sets how fast the output runs: over its whole way the frequency changes by a factor of "
            f"{fast / slow:.3g}. {said}"
        ).strip()
    if role == "feedback resistor" and leaf is not None:
        return (
            f"Lets the capacitor leak, so that the output cannot drift away; it acts below {hz(LEAK_HZ)} "
            "only."
        )
    if role == "dc-blocking capacitor":
        return blocking_words(stage, ref)
    return "Holds its inverting input still, so that all the current that comes in goes into the capacitor."


KIND = StageKind(
    kind=KIND_NAME,
    title="Integrator",
    says="Adds up its input over time: a square wave becomes a triangle.",
    sources=(SOURCE,),
    order=438,
    group="filter",
    roles={
        "amplifier": "sends the input current into the capacitor",
        "integrating resistor": "sets the current",
        "integrating capacitor": "collects the current",
        "rate knob": "sets how fast the output runs",
        "feedback resistor": "lets the capacitor leak slowly",
        "dc-blocking capacitor": "keeps resting voltages apart",
        "input inductor": "raises the input's impedance in the treble",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=(
        Example(
            text="""pedal Slow hill
supply V9 9V wall
output OUT 100k
part U1 dual-opamp TL072 v+=V9 v-=gnd
knob RATE 500k reverse-audio at 5
V9 > R1 22k > VM > R2 22k > gnd
VM > C1 47u > gnd
U1b.out > R3 33k > U1a.non
U1a.non > R4 100k > U1a.out
U1a.inv > VM
U1a.out > R5 47k > RATE.3
RATE.2 > RATE.1 > U1b.inv
U1b.inv > C2 470n > U1b.out
U1b.non > VM
U1b.out > C3 10u > OUT
OUT > R6 100k > gnd
""",
            roles={
                "U1a": ("schmitt-trigger", "amplifier"),
                "R3": ("schmitt-trigger", "input resistor"),
                "R4": ("schmitt-trigger", "hysteresis resistor"),
                "U1b": (KIND_NAME, "amplifier"),
                "R5": (KIND_NAME, "integrating resistor"),
                "RATE": (KIND_NAME, "rate knob"),
                "C2": (KIND_NAME, "integrating capacitor"),
            },
        ),
    ),
    near_misses=(
        Example(
            text="""pedal Leaks a lot
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=VPOS v-=VNEG
IN > R1 10k > U1.inv
U1.inv > R2 47k || C1 10n > U1.out
U1.non > gnd
U1.out > OUT
""",
            roles={"U1": ("*", "amplifier")},
        ),
    ),
)
