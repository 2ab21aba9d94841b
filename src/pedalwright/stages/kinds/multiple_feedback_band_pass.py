"""The multiple-feedback band-pass: two capacitors at one inner net let a band through and hold back both
sides of it.

The resistor to ground moves the centre and leaves bandwidth and gain alone: a wah and a moving filter are
made that way.
"""

from collections.abc import Iterable

from pedalwright.formulas.multiple_feedback import band_pass
from pedalwright.formulas.two_pole import TwoPole, band_edges_hz
from pedalwright.stages.amplifier_says import blocking_words, chip_word, role_of, swept
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
from pedalwright.stages.wording import capacitor_across, hz, plain_resistance, times

KIND_NAME = "multiple-feedback-band-pass"
NONE: Words = {"L": "network part", "D": "network part"}
WORDS: dict[str, Words] = {
    "input": {**NONE, "R": "input resistor", "C": "dc-blocking capacitor", "knob": "gain knob"},
    "to output": {**NONE, "R": "network part", "C": "filter capacitor", "knob": "network part"},
    "to amplifier": {**NONE, "R": "network part", "C": "filter capacitor", "knob": "network part"},
    "shunt": {**NONE, "R": "shunt resistor", "C": "dc-blocking capacitor", "knob": "frequency knob"},
    "across": {**NONE, "R": "feedback resistor", "C": "network part", "knob": "frequency knob"},
}


def _is_band_pass(shape: MultipleFeedback) -> bool:
    """A resistor in and across, two capacitors at the inner net, at most a resistor to ground."""
    return (
        shape.are(to_output="C", to_amplifier="C", across="R")
        and (shape.shunt is None or ("R" in sorts(shape.shunt) and sorts(shape.shunt) <= {"R", "C"}))
        and not (shape.shunt is not None and capacitor_across(shape.shunt))
        and all("R" in sorts(branch) and "D" not in sorts(branch) for branch in shape.inputs)
    )


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free amplifier with the two-path shape, resistors and capacitors in the band-pass places."""
    for network in claimed.networks():
        shape = multiple_feedback(network)
        if shape is not None and _is_band_pass(shape):
            yield propose(claimed, network, KIND_NAME, shape.branches(), WORDS, inputs=shape.nets)


def transfer(stage: Stage, bench: Bench) -> Transfer:
    """-y1 y3 / (y5 Sum + y3 y2) per input."""
    return multiple_feedback_transfer(stage)


def figures(stage: Stage) -> TwoPole:
    """Centre in Hz, Q and gain at the centre, from the first input; further inputs count as resistors to
    ground.
    """
    inputs = [plain_resistance(branch) for branch in stage.branches["input"]]
    shunt = [plain_resistance(branch) for branch in stage.branches["shunt"]]
    down = sum(1.0 / value for value in (*inputs[1:], *shunt))
    return band_pass(
        input_ohms=inputs[0],
        feedback_ohms=plain_resistance(stage.branch("across")),
        feedback_farads=farads_of(stage.branch("to output")),
        inverting_farads=farads_of(stage.branch("to amplifier")),
        shunt_ohms=1.0 / down if down else float("inf"),
    )


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Centre, Q, gain there, and the two -3 dB frequencies."""
    found = figures(stage)
    edges = band_edges_hz(found.natural_hz, found.q)
    return (
        Number(name="centre", unit="Hz", closed=found.natural_hz, full=None, source=SOURCE),
        Number(name="Q", unit="", closed=found.q, full=None, source=SOURCE),
        Number(name="gain at the centre", unit="x", closed=found.gain, full=None, source=SOURCE),
        Number(name="lower -3 dB", unit="Hz", closed=edges.lower_hz, full=None, source=SOURCE),
        Number(name="upper -3 dB", unit="Hz", closed=edges.upper_hz, full=None, source=SOURCE),
    )


def purpose(stage: Stage, bench: Bench) -> str:
    """What it does here, with its numbers."""
    found = figures(stage)
    edges = band_edges_hz(found.natural_hz, found.q)
    return (
        f"Lets a band around {hz(found.natural_hz)} through, {times(found.gain)} and turned over, and "
        f"holds back what lies below {hz(edges.lower_hz)} and above {hz(edges.upper_hz)}. Q is "
        f"{found.q:.2f}." + chip_word(stage, bench)
    )


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    role, found = role_of(stage, ref), figures(stage)
    centre = hz(found.natural_hz)
    if role in ("frequency knob", "gain knob"):
        low, high = (figures(swept(stage, ref, bench, turn)) for turn in (0.0, 1.0))
        return (
            f"Moves the centre from {hz(low.natural_hz)} at 0 to {hz(high.natural_hz)} at 10; now {centre}."
        )
    if role == "dc-blocking capacitor":
        return blocking_words(stage, ref)
    words = {
        "input resistor": (
            f"Brings the signal in and sets the gain at the centre, {times(found.gain)}. Smaller: louder."
        ),
        "shunt resistor": (
            f"Sets the centre, now {centre}, and leaves the bandwidth as it is. Smaller: higher."
        ),
        "feedback resistor": (
            f"Sets the bandwidth, {hz(found.natural_hz / found.q)}. Larger: narrower, and a lower centre."
        ),
        "filter capacitor": f"One of the pair that sets the centre of {centre}. Larger: lower.",
        "amplifier": "Holds its inverting input still, so that both feedback paths work on one signal.",
    }
    return words.get(role, f"Belongs to the filter around {centre}.")


KIND = StageKind(
    kind=KIND_NAME,
    title="Multiple-feedback band-pass",
    says="Lets a band through and holds back both sides of it, with one amplifier.",
    sources=(SOURCE,),
    order=402,
    group="filter",
    roles={
        "amplifier": "closes both feedback paths",
        "input resistor": "brings the signal in and sets the gain",
        "dc-blocking capacitor": "keeps resting voltages apart",
        "shunt resistor": "sets the centre",
        "feedback resistor": "sets the bandwidth",
        "filter capacitor": "one of the pair that sets the centre",
        "frequency knob": "moves the centre",
        "gain knob": "moves the gain",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=(
        Example(
            text="""pedal One band
supply V9 9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
knob CENTRE 10k linear at 4
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 1u > R3 68k > M
M > R4 1k > CENTRE.1
CENTRE.2 > CENTRE.3 > VB
M > C3 10n > U1.out
M > C4 10n > U1.inv
U1.inv > R5 180k > U1.out
VB > U1.non
U1.out > C5 1u > OUT
OUT > R6 100k > gnd
""",
            roles={
                "U1": (KIND_NAME, "amplifier"),
                "R3": (KIND_NAME, "input resistor"),
                "C2": (KIND_NAME, "dc-blocking capacitor"),
                "R4": (KIND_NAME, "shunt resistor"),
                "CENTRE": (KIND_NAME, "frequency knob"),
                "C3": (KIND_NAME, "filter capacitor"),
                "C4": (KIND_NAME, "filter capacitor"),
                "R5": (KIND_NAME, "feedback resistor"),
            },
        ),
    ),
    near_misses=(
        Example(
            text="""pedal Two corners only
supply V9 9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 10n > R3 68k > U1.inv
U1.inv > R5 180k || C3 1n > U1.out
VB > U1.non
U1.out > C5 1u > OUT
OUT > R6 100k > gnd
""",
            roles={"U1": ("*", "amplifier")},
        ),
    ),
)
