"""The two-pole multiple-feedback low-pass: two feedback paths around one inverting amplifier make a steep
treble cut.

One inner net joins the input resistors, the resistor from the output, the resistor on to the inverting
input and the capacitor to ground; a second capacitor goes from the output to the inverting input. Every
further input resistor at the inner net mixes in another signal and lowers the Q.
"""

from collections.abc import Iterable

from pedalwright.formulas.multiple_feedback import low_pass
from pedalwright.formulas.two_pole import low_pass_minus_3db_hz
from pedalwright.stages.amplifier_says import blocking_words, chip_word, role_of, section_of
from pedalwright.stages.amplifier_shape import propose
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch, sorts
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.kinds._multiple_feedback_low_pass_examples import EXAMPLES, NEAR_MISSES
from pedalwright.stages.multiple_feedback_shape import (
    SOURCE,
    MultipleFeedback,
    farads_of,
    multiple_feedback,
    multiple_feedback_transfer,
)
from pedalwright.stages.stage import Number, Proposal, Stage, StageKind, Transfer
from pedalwright.stages.wording import hz, listed, named, plain_resistance, times

KIND_NAME = "multiple-feedback-low-pass"
WORDS = {
    "input": {
        "R": "input resistor",
        "C": "dc-blocking capacitor",
        "L": "input inductor",
        "D": "clipping diode",
        "knob": "gain knob",
    },
    "to output": {
        "R": "feedback resistor",
        "C": "feedback capacitor",
        "L": "network part",
        "D": "network part",
        "knob": "frequency knob",
    },
    "to amplifier": {
        "R": "series resistor",
        "C": "network part",
        "L": "network part",
        "D": "network part",
        "knob": "frequency knob",
    },
    "shunt": {
        "R": "shunt resistor",
        "C": "shunt capacitor",
        "L": "network part",
        "D": "network part",
        "knob": "frequency knob",
    },
    "across": {
        "R": "feedback resistor",
        "C": "feedback capacitor",
        "L": "network part",
        "D": "network part",
        "knob": "frequency knob",
    },
}


def _is_low_pass(shape: MultipleFeedback) -> bool:
    """Resistors in, back and on; capacitors to ground and across."""
    return (
        shape.are(to_output="R", to_amplifier="R", across="C")
        and shape.shunt is not None
        and sorts(shape.shunt) == {"C"}
        and all("R" in sorts(branch) and "D" not in sorts(branch) for branch in shape.inputs)
    )


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free amplifier with the two-path shape, resistors and capacitors in the low-pass places."""
    for network in claimed.networks():
        shape = multiple_feedback(network)
        if shape is not None and _is_low_pass(shape):
            yield propose(claimed, network, KIND_NAME, shape.branches(), WORDS, inputs=shape.nets)


def transfer(stage: Stage, bench: Bench) -> Transfer:
    """-y1 y3 / (y5 Sum + y3 y2) per input."""
    return multiple_feedback_transfer(stage)


def figures(stage: Stage) -> tuple[float, float, tuple[float, ...]]:
    """Natural frequency in Hz, Q, and the pass-band gain per input (plain ratio with its sign)."""
    back = plain_resistance(stage.branch("to output"))
    inputs = [plain_resistance(branch) for branch in stage.branches["input"]]
    further = sum(1.0 / value for value in inputs[1:])
    found = low_pass(
        input_ohms=inputs[0],
        feedback_ohms=back,
        inverting_ohms=plain_resistance(stage.branch("to amplifier")),
        shunt_farads=farads_of(stage.branch("shunt")),
        bridging_farads=farads_of(stage.branch("across")),
        further_input_ohms=1.0 / further if further else float("inf"),
    )
    return found.natural_hz, found.q, tuple(-back / value for value in inputs)


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Natural frequency, Q, the -3 dB corner, and the gain from each input."""
    f0_hz, q, gains = figures(stage)
    corner = low_pass_minus_3db_hz(f0_hz, q)
    found = [
        Number(name="natural frequency", unit="Hz", closed=f0_hz, full=None, source=SOURCE),
        Number(name="Q", unit="", closed=q, full=None, source=SOURCE),
        Number(name="-3 dB corner", unit="Hz", closed=corner, full=None, source=SOURCE),
    ]
    for net, gain in zip(stage.inputs, gains, strict=True):
        found.append(
            Number(name=f"pass-band gain from {net}", unit="x", closed=gain, full=None, source=SOURCE)
        )
    return tuple(found)


def _shape_of(q: float) -> str:
    if q < 0.6:
        return "soft, without a hump"
    if q < 0.8:
        return "flat up to the corner"
    return "with a hump before the corner"


def purpose(stage: Stage, bench: Bench) -> str:
    """What it does here, with its numbers."""
    f0_hz, q, gains = figures(stage)
    says = (
        f"A steep treble cut: 3 dB down at {hz(low_pass_minus_3db_hz(f0_hz, q))}, above it the level "
        f"falls 12 dB an octave (natural frequency {hz(f0_hz)}, Q {q:.2f}: {_shape_of(q)})."
    )
    if len(gains) == 1:
        says += f" Below it the signal comes through {times(gains[0])}, turned over."
    else:
        says += f" It also adds {len(gains)} signals: {_mixed(stage, bench, gains)}, all turned over."
    return says + chip_word(stage, bench)


def _mixed(stage: Stage, bench: Bench, gains: tuple[float, ...]) -> str:
    """Every input with its gain; those that bring back this filter's own sound out of a memory say so."""
    _, delayed = bench.flow.reaches(stage.output)
    said = []
    for net, branch, gain in zip(stage.inputs, stage.branches["input"], gains, strict=True):
        back = ", the repeats coming back" if net in delayed else ""
        said.append(f"through {_resistors(bench, branch)} {times(gain)}{back}")
    return listed(said)


def _resistors(bench: Bench, branch: Branch) -> str:
    return listed(
        [named(bench, ref) for ref in dict.fromkeys(leaf.ref for leaf in branch.leaves() if leaf.sort == "R")]
    )


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    role = role_of(stage, ref)
    f0_hz, q, gains = figures(stage)
    corner = hz(low_pass_minus_3db_hz(f0_hz, q))
    if role == "input resistor":
        return _input_says(stage, ref, gains, q)
    if role == "dc-blocking capacitor":
        return blocking_words(stage, ref)
    words = {
        "feedback resistor": (
            "Returns the output to the inner net: sets the gain and, with the others, the corner of "
            f"{corner}."
        ),
        "series resistor": (
            f"Leads from the inner net to the amplifier; with the others it sets the corner of {corner}."
        ),
        "shunt capacitor": (
            f"Takes treble to ground at the inner net. Larger: lower corner (now {corner}) and higher Q "
            f"(now {q:.2f})."
        ),
        "feedback capacitor": (
            f"Takes treble around the amplifier. Larger: lower corner (now {corner}) and lower Q (now "
            f"{q:.2f})."
        ),
        "amplifier": "Holds its inverting input still, so that both feedback paths work on one signal.",
    }
    if role == "amplifier" and section_of(stage, bench).role.endswith("filter"):
        return words[role] + chip_word(stage, bench)
    return words.get(role, f"{named(bench, ref)} moves the corner, now {corner}.")


def _input_says(stage: Stage, ref: str, gains: tuple[float, ...], q: float) -> str:
    place = next(
        (
            place
            for place, branch in enumerate(stage.branches["input"])
            if any(leaf.ref == ref for leaf in branch.leaves())
        ),
        0,
    )
    more = " Every further input lowers Q." if len(gains) > 1 else ""
    return (
        f"Brings the signal in; with the feedback resistor it sets the gain of {times(gains[place])}. "
        f"Smaller: louder, and a lower Q (now {q:.2f}).{more}"
    )


KIND = StageKind(
    kind=KIND_NAME,
    title="Two-pole multiple-feedback low-pass",
    says="Cuts treble at 12 dB an octave above its corner, with one inverting amplifier.",
    sources=(SOURCE,),
    order=400,
    group="filter",
    roles={
        "amplifier": "closes both feedback paths",
        "input resistor": "brings the signal in",
        "dc-blocking capacitor": "keeps resting voltages apart",
        "feedback resistor": "leads the output back to the inner net",
        "series resistor": "leads from the inner net to the amplifier",
        "shunt capacitor": "takes treble to ground",
        "feedback capacitor": "takes treble around the amplifier",
        "gain knob": "moves the gain",
        "frequency knob": "moves the corner",
        "input inductor": "raises the input's impedance in the treble",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=EXAMPLES,
    near_misses=NEAR_MISSES,
)
