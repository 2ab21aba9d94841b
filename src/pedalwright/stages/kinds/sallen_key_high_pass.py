"""The Sallen-Key high-pass: two capacitors in a row and two resistors, one of them lifted by the
amplifier's own output.
"""

from collections.abc import Iterable

from pedalwright.formulas.sallen_key import high_pass
from pedalwright.formulas.two_pole import TwoPole
from pedalwright.stages.amplifier_says import role_of, swept
from pedalwright.stages.amplifier_shape import Words, propose
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import sorts
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.gyrator_shape import is_gyrator
from pedalwright.stages.multiple_feedback_shape import farads_of
from pedalwright.stages.sallen_key_shape import (
    FILTER,
    GAIN_ROLES,
    GAIN_WORDS,
    SOURCE,
    SallenKey,
    gain_words,
    middle_gain,
    sallen_key,
    sallen_key_transfer,
)
from pedalwright.stages.stage import Example, Number, Proposal, Stage, StageKind, Transfer
from pedalwright.stages.two_pole_says import knob_words, two_pole_numbers
from pedalwright.stages.wording import hz, plain_resistance, times

KIND_NAME = "sallen-key-high-pass"
WORDS: dict[str, Words] = {
    "input": FILTER,
    "onward": FILTER,
    "ground": FILTER,
    "back": FILTER,
    **GAIN_WORDS,
}


def _is_high_pass(shape: SallenKey) -> bool:
    """Capacitors in and on, resistors to ground and to the output."""
    return (
        sorts(shape.onward) == {"C"}
        and sorts(shape.back) == {"R"}
        and sorts(shape.ground) == {"R"}
        and shape.leak is None
        and all(sorts(branch) == {"C"} for branch in shape.inputs)
    )


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free amplifier with the shape, capacitors and resistors in the high-pass places."""
    for network in claimed.networks():
        shape = sallen_key(network)
        if shape is not None and _is_high_pass(shape) and not is_gyrator(claimed.view, network):
            yield propose(claimed, network, KIND_NAME, shape.branches(), WORDS, inputs=shape.nets)


def transfer(stage: Stage, bench: Bench) -> Transfer:
    """The general form, with the amplifier's own gain."""
    return sallen_key_transfer(stage)


def figures(stage: Stage) -> TwoPole:
    """Natural frequency in Hz, Q and gain from the first input; further inputs add to the first capacitor."""
    inputs = [farads_of(branch) for branch in stage.branches["input"]]
    gain = middle_gain(stage)
    found = high_pass(
        input_farads=sum(inputs),
        middle_farads=farads_of(stage.branch("onward")),
        ground_ohms=plain_resistance(stage.branch("ground")),
        feedback_ohms=plain_resistance(stage.branch("back")),
        gain=gain,
    )
    return TwoPole(natural_hz=found.natural_hz, q=found.q, gain=gain * inputs[0] / sum(inputs))


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Natural frequency, Q and gain."""
    return two_pole_numbers(figures(stage), source=SOURCE)


def purpose(stage: Stage, bench: Bench) -> str:
    """What it does here, with its numbers."""
    found = figures(stage)
    if found.q != found.q:
        return (
            "Has the shape of a steep bass cut, but its amplifier gives so much gain that it would oscillate."
        )
    mixing = f" It adds {len(stage.inputs)} signals." if len(stage.inputs) > 1 else ""
    return (
        f"A steep bass cut around {hz(found.natural_hz)}: below it the level falls 12 dB an octave. Q is "
        f"{found.q:.2f}. Above it the signal comes through {times(found.gain)}, the right way up.{mixing}"
    )


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    role, found = role_of(stage, ref), figures(stage)
    corner = f"the corner, natural frequency {hz(found.natural_hz)} and Q {found.q:.2f}"
    if role == "frequency knob":
        low, high = (figures(swept(stage, ref, bench, turn)) for turn in (0.0, 1.0))
        return knob_words(low, high)
    if role == "filter resistor":
        back = any(leaf.ref == ref for leaf in stage.branch("back").leaves())
        if back:
            return (
                f"Leads the output back to the inner net, which keeps the corner sharp; sets {corner}. "
                "Larger: lower, with a lower Q."
            )
        return (
            f"Leads the bass to a steady net and gives the amplifier its resting voltage; sets {corner}. "
            "Larger: lower, with a higher Q."
        )
    words = {
        "filter capacitor": f"Holds back the bass; sets {corner}. Larger: lower.",
        **gain_words(stage),
        "amplifier": "Copies its input and drives the resistor that leads back.",
    }
    return words.get(role, f"Belongs to the filter: {corner}.")


KIND = StageKind(
    kind=KIND_NAME,
    title="Sallen-Key high-pass",
    says="Cuts bass at 12 dB an octave below its corner, the right way up.",
    sources=(SOURCE,),
    order=412,
    group="filter",
    roles={
        "amplifier": "drives the resistor that leads back",
        "filter resistor": "sets the corner and its sharpness",
        "filter capacitor": "holds back the bass",
        "frequency knob": "moves the corner",
        **GAIN_ROLES,
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=(
        Example(
            text="""pedal No mud
supply V9 9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 47n > M > C3 47n > U1.non > R3 47k > VB
M > R4 22k > U1.out
U1.inv > U1.out > C5 1u > OUT
OUT > R6 100k > gnd
""",
            roles={
                "U1": (KIND_NAME, "amplifier"),
                "C2": (KIND_NAME, "filter capacitor"),
                "C3": (KIND_NAME, "filter capacitor"),
                "R3": (KIND_NAME, "filter resistor"),
                "R4": (KIND_NAME, "filter resistor"),
            },
        ),
        Example(
            text="""pedal No mud but more
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=VPOS v-=VNEG
IN > C2 47n > M > C3 47n > U1.non > R3 47k > gnd
M > R4 47k > U1.out
U1.inv > R5 10k > gnd
U1.inv > R6 5k6 > U1.out
U1.out > OUT
""",
            roles={
                "U1": (KIND_NAME, "amplifier"),
                "R5": (KIND_NAME, "gain-setting resistor"),
                "R6": (KIND_NAME, "feedback resistor"),
            },
        ),
    ),
    near_misses=(
        Example(
            text="""pedal Coil of sorts
supply V9 9V wall
input IN line
output OUT 100k
part U1 dual-opamp TL072 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 22n > U1a.non > R3 1M > VB
U1a.inv > U1a.out > R4 10k > SHAPED
SHAPED > C3 100n > COIL
COIL > C4 4n7 > U1b.non > R5 220k > VB
COIL > R6 470 > U1b.out
U1b.inv > U1b.out
SHAPED > C5 1u > OUT
OUT > R7 1M > gnd
""",
            roles={"U1b": ("gyrator", "amplifier"), "R6": ("gyrator", "series resistor")},
        ),
    ),
)
