"""The Sallen-Key low-pass: two resistors in a row and two capacitors, one of them lifted by the amplifier's
own output.

A follower or a non-inverting amplifier drives the first capacitor's far end, which keeps the corner sharp.
The signal comes out the right way up.
"""

from collections.abc import Iterable

from pedalwright.formulas.sallen_key import low_pass
from pedalwright.formulas.two_pole import TwoPole, low_pass_minus_3db_hz
from pedalwright.stages.amplifier_says import blocking_words, role_of, swept
from pedalwright.stages.amplifier_shape import Words, propose
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import sorts
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.multiple_feedback_shape import farads_of
from pedalwright.stages.sallen_key_shape import (
    FILTER,
    GAIN_ROLES,
    GAIN_WORDS,
    SOURCE,
    SallenKey,
    gain_words,
    has_resistor,
    middle_gain,
    sallen_key,
    sallen_key_transfer,
    together,
)
from pedalwright.stages.stage import Example, Number, Proposal, Stage, StageKind, Transfer
from pedalwright.stages.two_pole_says import knob_words, two_pole_numbers
from pedalwright.stages.wording import hz, plain_resistance, times

KIND_NAME = "sallen-key-low-pass"
WORDS: dict[str, Words] = {
    "input": {**FILTER, "C": "dc-blocking capacitor"},
    "onward": FILTER,
    "ground": FILTER,
    "back": FILTER,
    "leak": FILTER,
    **GAIN_WORDS,
}


def _is_low_pass(shape: SallenKey) -> bool:
    """Resistors in and on, capacitors to ground and to the output."""
    return (
        sorts(shape.onward) == {"R"}
        and sorts(shape.back) == {"C"}
        and "C" in sorts(shape.ground)
        and sorts(shape.ground) <= {"R", "C"}
        and all(has_resistor(branch) for branch in shape.inputs)
        and (shape.leak is None or sorts(shape.leak) == {"R"})
    )


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free amplifier with the shape, resistors and capacitors in the low-pass places."""
    for network in claimed.networks():
        shape = sallen_key(network)
        if shape is not None and _is_low_pass(shape):
            yield propose(claimed, network, KIND_NAME, shape.branches(), WORDS, inputs=shape.nets)


def transfer(stage: Stage, bench: Bench) -> Transfer:
    """The general form, with the amplifier's own gain."""
    return sallen_key_transfer(stage)


def figures(stage: Stage) -> TwoPole:
    """Natural frequency in Hz, Q and gain of the first input; further inputs count as resistors to ground."""
    first = together((*stage.branches["input"], *stage.branches.get("leak", ())))
    gain = middle_gain(stage)
    found = low_pass(
        input_ohms=first,
        middle_ohms=plain_resistance(stage.branch("onward")),
        ground_farads=farads_of(stage.branch("ground")),
        feedback_farads=farads_of(stage.branch("back")),
        gain=gain,
    )
    return TwoPole(
        natural_hz=found.natural_hz, q=found.q, gain=gain * first / plain_resistance(stage.branch("input"))
    )


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Natural frequency, Q, -3 dB corner and gain."""
    found = figures(stage)
    corner = low_pass_minus_3db_hz(found.natural_hz, found.q)
    natural, quality, gain = two_pole_numbers(found, source=SOURCE)
    edge = Number(name="-3 dB corner", unit="Hz", closed=corner, full=None, source=SOURCE)
    return natural, quality, edge, gain


def purpose(stage: Stage, bench: Bench) -> str:
    """What it does here, with its numbers."""
    found = figures(stage)
    if found.q != found.q:
        return (
            "Has the shape of a steep treble cut, but its amplifier gives so much gain that it would "
            "oscillate."
        )
    mixing = f" It adds {len(stage.inputs)} signals." if len(stage.inputs) > 1 else ""
    corner = low_pass_minus_3db_hz(found.natural_hz, found.q)
    return (
        f"A steep treble cut: 3 dB down at {hz(corner)}, above it the level falls 12 dB an octave "
        f"(natural frequency {hz(found.natural_hz)}, Q {found.q:.2f}). Below it the signal comes through "
        f"{times(found.gain)}, the right way up.{mixing}"
    )


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    role, found = role_of(stage, ref), figures(stage)
    corner = f"the corner, natural frequency {hz(found.natural_hz)} and Q {found.q:.2f}"
    if role == "frequency knob":
        low, high = (figures(swept(stage, ref, bench, turn)) for turn in (0.0, 1.0))
        return knob_words(low, high)
    if role == "filter capacitor":
        back = any(leaf.ref == ref for leaf in stage.branch("back").leaves())
        if back:
            return (
                f"Leads the output back to the inner net, which keeps the corner sharp; sets {corner}. "
                "Larger: lower, with a higher Q."
            )
        return (
            f"Takes treble to ground at the amplifier's input; sets {corner}. Larger: lower, with a lower Q."
        )
    if role == "dc-blocking capacitor":
        return blocking_words(stage, ref)
    words = {
        "filter resistor": f"Sets {corner}. Larger: lower.",
        **gain_words(stage),
        "amplifier": "Copies its input and drives the capacitor that leads back.",
    }
    return words.get(role, f"Belongs to the filter: {corner}.")


KIND = StageKind(
    kind=KIND_NAME,
    title="Sallen-Key low-pass",
    says="Cuts treble at 12 dB an octave above its corner, the right way up.",
    sources=(SOURCE,),
    order=410,
    group="filter",
    roles={
        "amplifier": "drives the capacitor that leads back",
        "filter resistor": "sets the corner",
        "filter capacitor": "sets the corner and its sharpness",
        "frequency knob": "moves the corner",
        "dc-blocking capacitor": "keeps resting voltages apart",
        **GAIN_ROLES,
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=(
        Example(
            text="""pedal Smooth end
supply V9 9V wall
input IN line
output OUT 100k
part U1 dual-opamp TL072 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 22n > U1a.non > R3 1M > VB
U1a.inv > U1a.out > R4 10k > M
M > R5 10k > U1b.non
M > C3 4n7 > U1b.out
U1b.non > C4 2n2 > gnd
U1b.inv > U1b.out > C5 1u > OUT
OUT > R6 100k > gnd
""",
            roles={
                "U1b": (KIND_NAME, "amplifier"),
                "R4": (KIND_NAME, "filter resistor"),
                "R5": (KIND_NAME, "filter resistor"),
                "C3": (KIND_NAME, "filter capacitor"),
                "C4": (KIND_NAME, "filter capacitor"),
            },
        ),
        Example(
            text="""pedal Two in one cut
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 quad-opamp TL074 v+=VPOS v-=VNEG
IN > U1a.non > R1 1M > gnd
U1a.inv > U1a.out > DRY
DRY > R2 10k > U1b.inv > R3 33k > U1b.out
U1b.non > gnd
DRY > R4 22k > M
U1b.out > C1 1u > R5 22k > M
M > R6 10k > U1c.non > C2 3n3 > gnd
M > C3 3n3 > U1c.out
U1c.inv > R7 10k > gnd
U1c.inv > R8 4k7 > U1c.out
U1c.out > OUT
""",
            roles={
                "U1c": (KIND_NAME, "amplifier"),
                "R4": (KIND_NAME, "filter resistor"),
                "R5": (KIND_NAME, "filter resistor"),
                "C1": (KIND_NAME, "dc-blocking capacitor"),
                "R7": (KIND_NAME, "gain-setting resistor"),
                "R8": (KIND_NAME, "feedback resistor"),
            },
        ),
    ),
    near_misses=(
        Example(
            text="""pedal Nothing leads back
supply V9 9V wall
input IN line
output OUT 100k
part U1 dual-opamp TL072 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 22n > U1a.non > R3 1M > VB
U1a.inv > U1a.out > R4 10k > M
M > R5 10k > U1b.non
M > C3 4n7 > gnd
U1b.non > C4 2n2 > gnd
U1b.inv > U1b.out > C5 1u > OUT
OUT > R6 100k > gnd
""",
            roles={"U1b": ("voltage-follower", "amplifier")},
        ),
    ),
)
