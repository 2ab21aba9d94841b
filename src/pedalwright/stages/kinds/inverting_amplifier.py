"""The inverting amplifier: the signal comes through a resistor into a point that does not move, and leaves upside down.

Gain is the feedback impedance over the input impedance, with a minus sign. The inverting input is a virtual ground, so
the input resistor alone is what the stage before sees.
"""

from collections.abc import Iterable
from math import pi

from pedalwright.formulas.stage_gain import inverting_gain
from pedalwright.stages.amplifier_shape import (
    FEEDBACK_WORDS,
    INPUT_WORDS,
    is_plain,
    propose,
    signal_inputs,
    stiff_transfer,
)
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import passes_dc, sorts
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.network import AmplifierNetwork
from pedalwright.stages.stage import Example, Number, Proposal, Stage, StageKind, Transfer
from pedalwright.stages.wording import (
    capacitor_across,
    capacitor_in,
    farads,
    hz,
    named,
    ohms,
    plain_resistance,
    times,
)

SOURCE = "Coughlin and Driscoll, Operational Amplifiers and Linear Integrated Circuits, ch. 3"


def _is_one(network: AmplifierNetwork) -> bool:
    feedback = network.feedback
    return (
        network.non_still
        and is_plain(network)
        and feedback is not None
        and passes_dc(feedback)
        and "D" not in sorts(feedback)
        and len(signal_inputs(network)) == 1
        and network.shunt is None
    )


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free amplifier with one input branch, one feedback branch, and its other input on a steady net."""
    for network in claimed.networks():
        if _is_one(network):
            into = network.joined(signal_inputs(network)[0], network.amplifier.inv)
            if into is not None and network.feedback is not None:
                branches = {"input": (into,), "feedback": (network.feedback,)}
                words = {"input": INPUT_WORDS, "feedback": FEEDBACK_WORDS}
                yield propose(claimed, network, "inverting-amplifier", branches, words)


def transfer(stage: Stage, bench: Bench) -> Transfer:
    """-Zf / Zi."""
    feedback, into = stage.branch("feedback"), stage.branch("input")
    return stiff_transfer(
        stage,
        lambda s: (inverting_gain(feedback_ohms=feedback.impedance(s), input_ohms=into.impedance(s)),),
        formula="H = -Zf / Zi",
        source=SOURCE,
    )


def middle_gain(stage: Stage) -> float:
    """Gain where the capacitors do not matter, as a plain ratio with its sign."""
    return -plain_resistance(stage.branch("feedback")) / plain_resistance(stage.branch("input"))


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Mid-band gain, the corners of the input and feedback capacitors, and the input resistance."""
    found = [
        Number(name="mid-band gain", unit="x", closed=middle_gain(stage), full=None, source=SOURCE),
        Number(
            name="input resistance",
            unit="ohm",
            closed=plain_resistance(stage.branch("input")),
            full=None,
            source=SOURCE,
        ),
    ]
    coupling, across = capacitor_in(stage.branch("input")), capacitor_across(stage.branch("feedback"))
    if coupling is not None:
        corner = 1.0 / (2 * pi * plain_resistance(stage.branch("input")) * coupling.value)
        found.append(
            Number(name="bass corner", unit="Hz", closed=corner, full=None, source="f = 1/(2 pi R C)")
        )
    if across is not None:
        corner = 1.0 / (2 * pi * plain_resistance(stage.branch("feedback")) * across.value)
        found.append(
            Number(name="treble corner", unit="Hz", closed=corner, full=None, source="f = 1/(2 pi R C)")
        )
    return tuple(found)


def purpose(stage: Stage, bench: Bench) -> str:
    """What it does here, with its numbers."""
    gain = middle_gain(stage)
    action = (
        "turns the signal over"
        if abs(abs(gain) - 1) < 0.02
        else f"turns the signal over and makes it {times(gain)}"
    )
    return (
        f"The amplifier {action}. Its inverting input stands still, because the feedback answers every current that "
        f"comes in through {_listed(bench, stage, 'input')} with an equal one through {_listed(bench, stage, 'feedback')}."
    )


def _listed(bench: Bench, stage: Stage, name: str) -> str:
    refs = dict.fromkeys(leaf.ref for leaf in stage.branch(name).leaves())
    return ", ".join(named(bench, ref) for ref in refs)


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    role = next(member.role for member in stage.roles if member.ref == ref)
    into, feedback = stage.branch("input"), stage.branch("feedback")
    if role == "input resistor":
        return (
            f"Turns the signal voltage into a current for the feedback to answer; with {ohms(plain_resistance(feedback))} of "
            f"feedback the gain is {times(middle_gain(stage))}. The stage before sees {ohms(plain_resistance(into))}."
        )
    if role == "feedback resistor":
        return f"Sets the gain: {ohms(plain_resistance(feedback))} over {ohms(plain_resistance(into))} is {times(middle_gain(stage))}."
    if role == "dc-blocking capacitor":
        leaf = next(leaf for leaf in into.leaves() if leaf.ref == ref)
        corner = 1.0 / (2 * pi * plain_resistance(into) * leaf.value)
        return f"Keeps the resting voltages of the two stages apart; bass falls below {hz(corner)}."
    if role == "feedback capacitor":
        leaf = next(leaf for leaf in feedback.leaves() if leaf.ref == ref)
        corner = 1.0 / (2 * pi * plain_resistance(feedback) * leaf.value)
        return f"Lets the gain fall above {hz(corner)} and keeps the amplifier steady ({farads(leaf.value)})."
    if role == "gain knob":
        return f"Moves the gain; at its present position the stage gives {times(middle_gain(stage))}."
    return "Holds its two inputs at the same voltage by moving its output."


KIND = StageKind(
    kind="inverting-amplifier",
    title="Inverting amplifier",
    says="Makes the signal larger or smaller by the ratio of two resistors, and turns it over.",
    sources=(SOURCE,),
    order=440,
    group="amplifier",
    roles={
        "amplifier": "holds its inverting input still",
        "input resistor": "turns the signal into a current",
        "dc-blocking capacitor": "keeps resting voltages apart",
        "feedback resistor": "sets the gain with the input resistor",
        "feedback capacitor": "lets the treble fall and steadies the amplifier",
        "gain knob": "moves the gain",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=(
        Example(
            text="""pedal Turned over
supply V9 9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 100n > R3 22k > U1.inv
U1.inv > R4 47k || C3 100p > U1.out
VB > U1.non
U1.out > C4 1u > OUT
""",
            roles={
                "U1": ("inverting-amplifier", "amplifier"),
                "R3": ("inverting-amplifier", "input resistor"),
                "C2": ("inverting-amplifier", "dc-blocking capacitor"),
                "R4": ("inverting-amplifier", "feedback resistor"),
                "C3": ("inverting-amplifier", "feedback capacitor"),
            },
        ),
    ),
)
