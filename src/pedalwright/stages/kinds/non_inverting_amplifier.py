"""The non-inverting amplifier: a divider sends part of the output back, so the output must be larger than
the input.

Gain is one plus the feedback impedance over the impedance from the inverting input to ground. The signal
goes straight to the amplifier's other input, which takes next to no current.
"""

from collections.abc import Iterable

from pedalwright.formulas.amplifier import non_inverting_gain
from pedalwright.stages.amplifier_says import (
    bass_corner_hz,
    corner_hz,
    corner_numbers,
    corner_words,
    inner_transistors,
    knob_ranges,
    knob_span,
    leaf_named,
    names_of,
    role_of,
)
from pedalwright.stages.amplifier_shape import (
    FEEDBACK_WORDS,
    SHUNT_WORDS,
    is_plain,
    propose,
    signal_inputs,
    stiff_transfer,
    where_closed,
)
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import conducts, sorts
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.network import AmplifierNetwork
from pedalwright.stages.stage import Example, Number, Proposal, Stage, StageKind, Transfer
from pedalwright.stages.wording import hz, ohms, plain_resistance, times

SOURCE = "Coughlin and Driscoll, Operational Amplifiers and Linear Integrated Circuits, ch. 3"
KIND_NAME = "non-inverting-amplifier"


def _is_one(network: AmplifierNetwork) -> bool:
    feedback, shunt = network.feedback, network.shunt
    return (
        not network.non_still
        and is_plain(network)
        and not signal_inputs(network)
        and feedback is not None
        and shunt is not None
        and conducts(feedback)
        and "D" not in sorts(feedback) | sorts(shunt)
        and "R" in sorts(feedback)
    )


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free amplifier with the signal at its non-inverting input and a divider from output to ground
    at the other.
    """
    for network in claimed.networks():
        if _is_one(network) and network.feedback is not None and network.shunt is not None:
            branches = {"feedback": (network.feedback,), "shunt": (network.shunt,)}
            words = {"feedback": FEEDBACK_WORDS, "shunt": SHUNT_WORDS}
            yield propose(claimed, network, KIND_NAME, branches, words, inputs=(network.amplifier.non,))


def transfer(stage: Stage, bench: Bench) -> Transfer | None:
    """1 + Zf / Zg."""
    return where_closed(stage, bench, _claim(stage))


def _claim(stage: Stage) -> Transfer:
    """The closed form."""
    feedback, shunt = stage.branch("feedback"), stage.branch("shunt")
    return stiff_transfer(
        stage,
        lambda s: (non_inverting_gain(feedback.impedance(s), shunt.impedance(s)),),
        formula="H = 1 + Zf / Zg",
        source=SOURCE,
    )


def middle_gain(stage: Stage) -> float:
    """Gain where the capacitors do not matter, as a plain ratio."""
    below = plain_resistance(stage.branch("shunt"))
    return 1.0 + plain_resistance(stage.branch("feedback")) / below if below > 0 else float("inf")


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Mid-band gain and the corners of the capacitors."""
    gain = Number(name="mid-band gain", unit="x", closed=middle_gain(stage), full=None, source=SOURCE)
    return (gain, *corner_numbers(stage.branch("shunt"), stage.branch("feedback")))


def purpose(stage: Stage, bench: Bench) -> str:
    """What it does here, with its numbers."""
    below = bass_corner_hz(stage.branch("shunt"))
    settles = " Below that the gain settles at 1." if below is not None else ""
    return (
        f"Makes the signal {times(middle_gain(stage))} as large, the right way up, and takes next to no "
        "current from what comes before. Back from the output to the inverting input: "
        f"{names_of(stage, bench, 'feedback')}; from there to ground: {names_of(stage, bench, 'shunt')}."
        + corner_words(stage.branch("shunt"), stage.branch("feedback"))
        + settles
        + knob_ranges(stage, bench, middle_gain)
        + inner_transistors(stage, bench)
    )


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    role, leaf = role_of(stage, ref), leaf_named(stage, ref)
    feedback, shunt = plain_resistance(stage.branch("feedback")), plain_resistance(stage.branch("shunt"))
    if role == "gain knob":
        return knob_span(stage, ref, bench, middle_gain)
    if role == "feedback resistor":
        return (
            f"Sets the gain with what leads to ground: 1 + {ohms(feedback)} / {ohms(shunt)} is "
            f"{times(middle_gain(stage))}. Larger: more gain."
        )
    if role == "gain-setting resistor":
        return (
            f"Takes part of what comes back to ground: 1 + {ohms(feedback)} / {ohms(shunt)} is "
            f"{times(middle_gain(stage))}. Smaller: more gain."
        )
    if role == "bass-corner capacitor" and leaf is not None:
        return (
            f"Lets the gain fall to 1 below {hz(corner_hz(shunt, leaf.value))} and keeps the resting "
            "voltage from being amplified. Larger: deeper bass."
        )
    if role == "feedback capacitor" and leaf is not None:
        return (
            f"Lets the gain fall above {hz(corner_hz(feedback, leaf.value))} and keeps the amplifier steady."
        )
    return "Moves its output until the part that comes back equals the signal at its non-inverting input."


KIND = StageKind(
    kind=KIND_NAME,
    title="Non-inverting amplifier",
    says="Makes the signal larger by one plus the ratio of two resistors, the right way up.",
    sources=(SOURCE,),
    order=450,
    group="amplifier",
    roles={
        "amplifier": "compares the signal with what comes back",
        "feedback resistor": "leads the output back",
        "feedback capacitor": "lets the treble fall and steadies the amplifier",
        "gain-setting resistor": "takes part of what comes back to ground",
        "bass-corner capacitor": "lets the gain fall to one in the bass",
        "gain knob": "moves the gain",
        "feedback inductor": "raises the gain in the treble",
        "gain-setting inductor": "lowers the gain in the treble",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=(
        Example(
            text="""pedal Upright
supply V9 9V wall
input IN pickup
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
knob GAIN 100k audio at 6
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 22n > U1.non > R3 1M > VB
U1.inv > R4 1k > C3 1u > gnd
U1.inv > GAIN.1
GAIN.2 > GAIN.3 > R5 4k7 > U1.out
U1.inv > C4 100p > U1.out
U1.out > C5 1u > OUT
OUT > R6 100k > gnd
""",
            roles={
                "U1": (KIND_NAME, "amplifier"),
                "R4": (KIND_NAME, "gain-setting resistor"),
                "C3": (KIND_NAME, "bass-corner capacitor"),
                "GAIN": (KIND_NAME, "gain knob"),
                "R5": (KIND_NAME, "feedback resistor"),
                "C4": (KIND_NAME, "feedback capacitor"),
            },
        ),
        Example(
            text="""pedal Two rails
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=VPOS v-=VNEG
knob GAIN 10k linear at 3
IN > U1.non > R1 1M > gnd
U1.out > GAIN.3
GAIN.2 > U1.inv
GAIN.1 > R2 1k > gnd
U1.out > OUT
""",
            roles={
                "U1": (KIND_NAME, "amplifier"),
                "GAIN": (KIND_NAME, "gain knob"),
                "R2": (KIND_NAME, "gain-setting resistor"),
            },
        ),
        Example(
            text="""pedal Resistor inside the loop
supply V9 9V wall
input IN pickup
output OUT 10k
part U1 dual-opamp NE5532 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 100n > U1a.non > R3 1M > VB
U1a.out > R4 100 > DRIVE
DRIVE > R5 10k > U1a.inv > R6 10k > C3 22u > gnd
U1a.out > C4 47p > U1a.inv
DRIVE > C5 10u > OUT > R7 100k > gnd
U1b.non > VB
U1b.inv > U1b.out
""",
            roles={
                "U1a": (KIND_NAME, "amplifier"),
                "R4": (KIND_NAME, "feedback resistor"),
                "R5": (KIND_NAME, "feedback resistor"),
                "C4": (KIND_NAME, "feedback capacitor"),
                "R6": (KIND_NAME, "gain-setting resistor"),
                "C5": ("dc-blocking", "dc-blocking capacitor"),
            },
        ),
    ),
    near_misses=(
        Example(
            text="""pedal Both inputs
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 dual-opamp TL072 v+=VPOS v-=VNEG
IN > U1a.non > R1 1M > gnd
U1a.out > U1a.inv
U1a.out > R2 10k > U1b.inv > R3 22k > U1b.out
IN > R4 10k > U1b.non > R5 33k > gnd
U1b.out > OUT
""",
            roles={"U1b": ("*", "amplifier")},
        ),
    ),
)
