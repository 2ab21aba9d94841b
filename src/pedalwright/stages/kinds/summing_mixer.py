"""The summing mixer: several signals, each through its own resistor, meet at one point, and their sum comes
out.

At the inverting input the point stands still, so no signal gets back into another's source; each has the
gain feedback over its own resistor. At the non-inverting input the resistors average instead, and the
sources see each other.
"""

from collections.abc import Callable, Iterable
from dataclasses import replace

from pedalwright.formulas.amplifier import inverting_gain
from pedalwright.formulas.superposition import adding_subtracting_gains, meeting_gains
from pedalwright.stages.amplifier_says import (
    blocking_words,
    chip_word,
    corner_hz,
    corner_numbers,
    knob_span,
    leaf_named,
    role_of,
)
from pedalwright.stages.amplifier_shape import (
    FEEDBACK_WORDS,
    INPUT_WORDS,
    SHUNT_WORDS,
    Words,
    propose,
    signal_inputs,
    stiff_transfer,
    where_closed,
)
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch, sorts
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.kinds._summing_mixer_examples import EXAMPLES, NEAR_MISSES
from pedalwright.stages.mixer_shape import arms_through_one, averaging_arms, inverting_arms
from pedalwright.stages.stage import (
    ComplexArray,
    Number,
    Proposal,
    Stage,
    StageKind,
    Transfer,
)
from pedalwright.stages.wording import hz, listed, named, ohms, plain_resistance, times

SOURCE = (
    "Coughlin and Driscoll, Operational Amplifiers and Linear Integrated Circuits, ch. 3 (inverting adder)"
)
AVERAGE_SOURCE = "Gayakwad, Op-Amps and Linear Integrated Circuits, ch. 6 (non-inverting summing amplifier)"
KIND_NAME = "summing-mixer"
SUM_WORDS: Words = {**INPUT_WORDS, "R": "summing resistor"}
WORDS = {
    "input": SUM_WORDS,
    "common": SUM_WORDS,
    "positive": SUM_WORDS,
    "feedback": FEEDBACK_WORDS,
    "shunt": SHUNT_WORDS,
    "reference": {**SHUNT_WORDS, "R": "reference resistor", "C": "shunt capacitor"},
}


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free amplifier with two or more input branches at one of its inputs."""
    for network in claimed.networks():
        branches = inverting_arms(network)
        if branches is not None:
            inputs = signal_inputs(network)
            yield propose(claimed, network, KIND_NAME, branches, WORDS, inputs=inputs)
            continue
        met = arms_through_one(claimed, network)
        if met is not None:
            inputs, branches, meeting = met
            found = propose(claimed, network, KIND_NAME, branches, WORDS, inputs=inputs)
            yield replace(found, nets={**found.nets, "inner_meeting": meeting})
            continue
        arms = averaging_arms(claimed, network)
        if arms is not None:
            inputs, branches = arms
            yield propose(claimed, network, KIND_NAME, branches, WORDS, inputs=inputs)


def transfer(stage: Stage, bench: Bench) -> Transfer | None:
    """-Zf / Zi for every input; at the non-inverting input the average times the amplifier's gain."""
    return where_closed(stage, bench, _claim(stage))


def _claim(stage: Stage) -> Transfer:
    """The closed form."""
    if "common" in stage.branches:
        return stiff_transfer(
            stage,
            lambda s: _shared_gains(stage, lambda branch: branch.impedance(s)),
            formula="H = -Zf / (Zi (1 + Zc (sum of 1/Zi))), one for each input",
            source=SOURCE,
        )
    if "input" in stage.branches:
        feedback = stage.branch("feedback")
        own = {name: group for name, group in stage.branches.items() if name != "shunt"}
        return stiff_transfer(
            replace(stage, branches=own),
            lambda s: tuple(
                inverting_gain(feedback.impedance(s), branch.impedance(s))
                for branch in stage.branches["input"]
            ),
            formula="H = -Zf / Zi, one for each input",
            source=SOURCE,
        )
    return stiff_transfer(
        stage,
        lambda s: _average(stage, lambda branch: branch.impedance(s), s * 0.0),
        formula="H = (1 + Zf / Zg) Yi / (sum of Y), one for each input",
        source=AVERAGE_SOURCE,
    )


def _shared_gains(stage: Stage, ohms_of: Callable[[Branch], ComplexArray]) -> tuple[ComplexArray, ...]:
    """Gains where the resistors meet before one common part."""
    return meeting_gains(
        feedback_ohms=ohms_of(stage.branch("feedback")),
        common_ohms=ohms_of(stage.branch("common")),
        arm_ohms=[ohms_of(branch) for branch in stage.branches["input"]],
    )


def _average(
    stage: Stage, ohms_of: Callable[[Branch], ComplexArray], none: ComplexArray
) -> tuple[ComplexArray, ...]:
    """Gains of the averaging form; `none` is nothing in the shape wanted."""
    shunt = stage.branches.get("shunt", ())
    return adding_subtracting_gains(
        feedback_ohms=ohms_of(stage.branch("feedback")) if shunt else none,
        negative_ohms=[],
        negative_shunt_ohms=[ohms_of(branch) for branch in shunt],
        positive_ohms=[ohms_of(branch) for branch in stage.branches["positive"]],
        reference_ohms=[ohms_of(branch) for branch in stage.branches["reference"]],
    )


def middle_gains(stage: Stage) -> tuple[float, ...]:
    """Gain from each input where capacitors do not matter."""
    if "common" in stage.branches:
        resistive = any("R" in sorts(branch) for branch in stage.branches["common"])
        return meeting_gains(
            feedback_ohms=plain_resistance(stage.branch("feedback")),
            common_ohms=plain_resistance(stage.branch("common")) if resistive else 0.0,
            arm_ohms=[plain_resistance(branch) for branch in stage.branches["input"]],
        )
    if "input" in stage.branches:
        feedback = plain_resistance(stage.branch("feedback"))
        return tuple(-feedback / plain_resistance(branch) for branch in stage.branches["input"])
    shunt = stage.branches.get("shunt", ())
    return adding_subtracting_gains(
        feedback_ohms=plain_resistance(stage.branch("feedback")) if shunt else 0.0,
        negative_ohms=[],
        negative_shunt_ohms=[plain_resistance(branch) for branch in shunt],
        positive_ohms=[plain_resistance(branch) for branch in stage.branches["positive"]],
        reference_ohms=[plain_resistance(branch) for branch in stage.branches["reference"]],
    )


def _arms(stage: Stage) -> tuple[Branch, ...]:
    return stage.branches.get("input") or stage.branches["positive"]


def _place(stage: Stage, ref: str) -> int | None:
    for place, branch in enumerate(_arms(stage)):
        if any(leaf.ref == ref for leaf in branch.leaves()):
            return place
    return None


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The gain from every input, and the treble corner of the feedback."""
    source = SOURCE if "input" in stage.branches else AVERAGE_SOURCE
    found = tuple(
        Number(name=f"gain from {net}", unit="x", closed=gain, full=None, source=source)
        for net, gain in zip(stage.inputs, middle_gains(stage), strict=True)
    )
    feedback = stage.branches.get("feedback", ())
    return (*found, *corner_numbers(None, feedback[0] if feedback else None))


def purpose(stage: Stage, bench: Bench) -> str:
    """What it does here, with its numbers."""
    each = [
        f"through {listed([named(bench, leaf.ref) for leaf in branch.leaves() if leaf.sort == 'R'])} at "
        f"{times(gain)}"
        for branch, gain in zip(_arms(stage), middle_gains(stage), strict=True)
    ]
    count = len(each)
    says = f"Adds {count} signals into one: {listed(each)}."
    if "common" in stage.branches:
        says += " The sum comes out turned over."
    elif "input" in stage.branches:
        says += (
            " The sum comes out turned over. The point where they meet stands still, so none of them "
            "gets back into another's stage."
        )
    else:
        says += " The right way up; the sources see one another through these resistors."
    return says + chip_word(stage, bench)


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    role, place, leaf = role_of(stage, ref), _place(stage, ref), leaf_named(stage, ref)
    gains = middle_gains(stage)
    if role == "summing resistor" and place is not None:
        return f"Brings one signal into the sum at {times(gains[place])}. Larger: less of it in the mix."
    if role == "dc-blocking capacitor" and place is None and "common" in stage.branches and leaf is not None:
        together = 1.0 / sum(1.0 / plain_resistance(branch) for branch in stage.branches["input"])
        return (
            "Keeps the resting voltages of the sources away from the amplifier; with the summing resistors "
            f"side by side, bass falls below {hz(corner_hz(together, leaf.value))}."
        )
    if role == "dc-blocking capacitor":
        return blocking_words(stage, ref)
    if role == "feedback resistor":
        value = plain_resistance(stage.branch("feedback"))
        return (
            f"Sets how loud the whole sum is: {ohms(value)} over each summing resistor. Larger: "
            "everything louder."
        )
    if role == "feedback capacitor" and leaf is not None:
        corner = corner_hz(plain_resistance(stage.branch("feedback")), leaf.value)
        return f"Lets the sum's treble fall above {hz(corner)} and keeps the amplifier steady."
    if role == "gain knob":
        at = place or 0
        return knob_span(stage, ref, bench, lambda moved: middle_gains(moved)[at])
    if role in ("gain-setting resistor", "bass-corner capacitor", "reference resistor", "shunt capacitor"):
        return "Leads to a steady net beside the signals: it sets how large their sum is."
    return "Holds the point where the signals meet, and makes their sum."


KIND = StageKind(
    kind=KIND_NAME,
    title="Summing mixer",
    says="Adds several signals, each with its own gain.",
    sources=(SOURCE, AVERAGE_SOURCE),
    order=442,
    group="amplifier",
    roles={
        "amplifier": "makes the sum",
        "summing resistor": "brings one signal in and sets its share",
        "dc-blocking capacitor": "keeps resting voltages apart",
        "feedback resistor": "sets the level of the whole sum",
        "feedback capacitor": "lets the treble fall and steadies the amplifier",
        "gain knob": "moves one signal's share, or the whole sum",
        "gain-setting resistor": "takes part of what comes back to ground",
        "bass-corner capacitor": "lets the gain fall in the bass",
        "reference resistor": "leads from the mixing point to a steady net",
        "shunt capacitor": "takes treble away at the mixing point",
        "input inductor": "raises the input's impedance in the treble",
        "feedback inductor": "raises the gain in the treble",
        "gain-setting inductor": "lowers the gain in the treble",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=EXAMPLES,
    near_misses=NEAR_MISSES,
)
