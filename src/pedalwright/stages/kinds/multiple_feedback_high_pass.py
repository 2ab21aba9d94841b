"""The multiple-feedback high-pass: three capacitors and two resistors around one inverting amplifier make a
steep bass cut.
"""

from collections.abc import Iterable

from pedalwright.formulas.multiple_feedback import high_pass
from pedalwright.formulas.two_pole import TwoPole
from pedalwright.stages.amplifier_says import chip_word, role_of
from pedalwright.stages.amplifier_shape import Words, propose
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import sorts
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.multiple_feedback_shape import (
    SOURCE,
    MultipleFeedback,
    farads_of,
    multiple_feedback,
    multiple_feedback_transfer,
)
from pedalwright.stages.stage import Example, Number, Proposal, Stage, StageKind, Transfer
from pedalwright.stages.two_pole_says import two_pole_numbers
from pedalwright.stages.wording import hz, plain_resistance, times

KIND_NAME = "multiple-feedback-high-pass"
NONE: Words = {"L": "network part", "D": "network part"}
WORDS: dict[str, Words] = {
    "input": {**NONE, "R": "network part", "C": "input capacitor", "knob": "network part"},
    "to output": {**NONE, "R": "network part", "C": "feedback capacitor", "knob": "network part"},
    "to amplifier": {**NONE, "R": "network part", "C": "series capacitor", "knob": "network part"},
    "shunt": {**NONE, "R": "shunt resistor", "C": "network part", "knob": "frequency knob"},
    "across": {**NONE, "R": "feedback resistor", "C": "network part", "knob": "frequency knob"},
}


def _is_high_pass(shape: MultipleFeedback) -> bool:
    """Capacitors in, back and on; resistors to ground and across."""
    return (
        shape.are(to_output="C", to_amplifier="C", across="R")
        and shape.shunt is not None
        and sorts(shape.shunt) == {"R"}
        and all(sorts(branch) == {"C"} for branch in shape.inputs)
    )


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free amplifier with the two-path shape, capacitors and resistors in the high-pass places."""
    for network in claimed.networks():
        shape = multiple_feedback(network)
        if shape is not None and _is_high_pass(shape):
            yield propose(claimed, network, KIND_NAME, shape.branches(), WORDS, inputs=shape.nets)


def transfer(stage: Stage, bench: Bench) -> Transfer:
    """-y1 y3 / (y5 Sum + y3 y2) per input."""
    return multiple_feedback_transfer(stage)


def figures(stage: Stage) -> TwoPole:
    """Natural frequency in Hz, Q and pass-band gain from the first input; further inputs add to the inner
    net.
    """
    inputs = [farads_of(branch) for branch in stage.branches["input"]]
    found = high_pass(
        input_farads=sum(inputs),
        feedback_farads=farads_of(stage.branch("to output")),
        inverting_farads=farads_of(stage.branch("to amplifier")),
        shunt_ohms=plain_resistance(stage.branch("shunt")),
        bridging_ohms=plain_resistance(stage.branch("across")),
    )
    return TwoPole(natural_hz=found.natural_hz, q=found.q, gain=found.gain * inputs[0] / sum(inputs))


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Natural frequency, Q and gain."""
    return two_pole_numbers(figures(stage), source=SOURCE)


def purpose(stage: Stage, bench: Bench) -> str:
    """What it does here, with its numbers."""
    found = figures(stage)
    return (
        f"A steep bass cut around {hz(found.natural_hz)}: below it the level falls 12 dB an octave. Q is "
        f"{found.q:.2f}. Above it the signal comes through {times(found.gain)}, turned over."
        + chip_word(stage, bench)
    )


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    role, found = role_of(stage, ref), figures(stage)
    corner = hz(found.natural_hz)
    words = {
        "input capacitor": (
            "Brings the signal in; against the feedback capacitor it sets the gain of "
            f"{times(found.gain)}. Larger: louder."
        ),
        "feedback capacitor": (
            f"Returns the output to the inner net. Larger: less gain (now {times(found.gain)}) and a "
            "lower corner."
        ),
        "series capacitor": (
            f"Leads from the inner net to the amplifier. Larger: a lower corner, now {corner}."
        ),
        "shunt resistor": (
            f"Leads the bass to ground at the inner net. Larger: a lower corner (now {corner}) and a "
            f"lower Q (now {found.q:.2f})."
        ),
        "feedback resistor": (
            f"Closes the loop for direct current. Larger: a lower corner (now {corner}) and a higher Q "
            f"(now {found.q:.2f})."
        ),
        "amplifier": "Holds its inverting input still, so that both feedback paths work on one signal.",
    }
    return words.get(role, f"Moves the corner, now {corner}.")


KIND = StageKind(
    kind=KIND_NAME,
    title="Two-pole multiple-feedback high-pass",
    says="Cuts bass at 12 dB an octave below its corner, with one inverting amplifier.",
    sources=(SOURCE,),
    order=404,
    group="filter",
    roles={
        "amplifier": "closes both feedback paths",
        "input capacitor": "brings the signal in",
        "feedback capacitor": "leads the output back to the inner net",
        "series capacitor": "leads from the inner net to the amplifier",
        "shunt resistor": "leads the bass to ground",
        "feedback resistor": "closes the loop for direct current",
        "frequency knob": "moves the corner",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=(
        Example(
            text="""pedal No rumble
supply V9 9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 47n > M
M > R3 22k > VB
M > C3 47n > U1.out
M > C4 47n > U1.inv
U1.inv > R4 100k > U1.out
VB > U1.non
U1.out > C5 1u > OUT
OUT > R6 100k > gnd
""",
            roles={
                "U1": (KIND_NAME, "amplifier"),
                "C2": (KIND_NAME, "input capacitor"),
                "C3": (KIND_NAME, "feedback capacitor"),
                "C4": (KIND_NAME, "series capacitor"),
                "R3": (KIND_NAME, "shunt resistor"),
                "R4": (KIND_NAME, "feedback resistor"),
            },
        ),
    ),
    near_misses=(
        Example(
            text="""pedal Resistor in
supply V9 9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > R5 22k > M
M > R3 2k2 > VB
M > C3 47n > U1.out
M > C4 47n > U1.inv
U1.inv > R4 100k > U1.out
VB > U1.non
U1.out > C5 1u > OUT
OUT > R6 100k > gnd
""",
            roles={"U1": ("*", "amplifier")},
        ),
    ),
)
