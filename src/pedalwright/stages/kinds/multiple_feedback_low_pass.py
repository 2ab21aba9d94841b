"""The two-pole multiple-feedback low-pass: two feedback paths around one inverting amplifier make a steep treble cut.

One inner net joins the input resistors, the resistor from the output, the resistor on to the inverting input and the
capacitor to ground; a second capacitor goes from the output to the inverting input. Every further input resistor at the
inner net mixes in another signal and lowers the Q.
"""

from collections.abc import Iterable
from math import pi, sqrt

from pedalwright.circuit.circuit import GROUND
from pedalwright.formulas.stage_gain import multiple_feedback_gains
from pedalwright.stages.amplifier_shape import edges_at, negative_inner, propose, stiff_transfer
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch, sorts
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.network import AmplifierNetwork
from pedalwright.stages.stage import Example, Number, Proposal, Stage, StageKind, Transfer
from pedalwright.stages.wording import hz, named, plain_resistance, times

SOURCE = "A. Kugelstadt in R. Mancini (ed.), Op Amps for Everyone, ch. 16, multiple-feedback low-pass"
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
        "L": "",
        "D": "",
        "knob": "frequency knob",
    },
    "to amplifier": {"R": "series resistor", "C": "", "L": "", "D": "", "knob": "frequency knob"},
    "shunt": {"R": "shunt resistor", "C": "shunt capacitor", "L": "", "D": "", "knob": "frequency knob"},
    "across": {
        "R": "feedback resistor",
        "C": "feedback capacitor",
        "L": "",
        "D": "",
        "knob": "frequency knob",
    },
}


def _branches(network: AmplifierNetwork) -> dict[str, tuple[Branch, ...]] | None:
    amp = network.amplifier
    inner = negative_inner(network)
    if not network.non_still or len(inner) != 1 or amp.inv == amp.out:
        return None
    around = edges_at(network, inner[0])
    inputs = tuple(branch for net in network.inputs for branch in around.get(net, ()))
    across = network.between(amp.inv, amp.out)
    shape = (around.get(amp.out, ()), around.get(amp.inv, ()), around.get(GROUND, ()), across)
    extra = [edge for edge in network.touching(amp.inv) if edge.other(amp.inv) not in (amp.out, inner[0])]
    if not inputs or extra or any(len(group) != 1 for group in shape):
        return None
    to_output, to_amplifier, shunt, over = (group[0] for group in shape)
    right = sorts(to_output) == sorts(to_amplifier) == {"R"} and sorts(shunt) == sorts(over) == {"C"}
    if not right or not all("R" in sorts(branch) for branch in inputs):
        return None
    return {
        "input": inputs,
        "to output": (to_output,),
        "to amplifier": (to_amplifier,),
        "shunt": (shunt,),
        "across": (over,),
    }


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free amplifier with the two-path shape, resistors and capacitors in the low-pass places."""
    for network in claimed.networks():
        branches = _branches(network)
        if branches is not None:
            yield propose(claimed, network, KIND_NAME, branches, WORDS)


def transfer(stage: Stage, bench: Bench) -> Transfer:
    """-y1 y3 / (y5 Sum + y3 y2) per input."""
    return stiff_transfer(
        stage,
        lambda s: multiple_feedback_gains(
            input_ohms=[branch.impedance(s) for branch in stage.branches["input"]],
            to_output_ohms=stage.branch("to output").impedance(s),
            to_amplifier_ohms=stage.branch("to amplifier").impedance(s),
            shunt_ohms=stage.branch("shunt").impedance(s),
            feedback_ohms=stage.branch("across").impedance(s),
        ),
        formula="H = -y1 y3 / (y5 (y1 + y2 + y3 + y4) + y3 y2)",
        source=SOURCE,
    )


def figures(stage: Stage) -> tuple[float, float, tuple[float, ...]]:
    """Natural frequency in Hz, Q, and the pass-band gain per input (plain ratio with its sign)."""
    r2, r3 = plain_resistance(stage.branch("to output")), plain_resistance(stage.branch("to amplifier"))
    shunt = sum(leaf.value for leaf in stage.branch("shunt").leaves())
    across = sum(leaf.value for leaf in stage.branch("across").leaves())
    inputs = [plain_resistance(branch) for branch in stage.branches["input"]]
    radians = 1.0 / sqrt(r2 * r3 * shunt * across)
    q = radians * shunt / (sum(1.0 / value for value in inputs) + 1.0 / r2 + 1.0 / r3)
    return radians / (2 * pi), q, tuple(-r2 / value for value in inputs)


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Natural frequency, Q and gain."""
    f0_hz, q, gains = figures(stage)
    found = [
        Number(name="natural frequency", unit="Hz", closed=f0_hz, full=None, source=SOURCE),
        Number(name="Q", unit="", closed=q, full=None, source=SOURCE),
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
    mixing = f" It also mixes {len(gains)} signals." if len(gains) > 1 else ""
    return (
        f"A steep treble cut around {hz(f0_hz)}: above it the level falls 12 dB an octave. Q is {q:.2f}, {_shape_of(q)}. "
        f"Below it the signal comes through {times(gains[0])}, turned over.{mixing}"
    )


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    role = next(member.role for member in stage.roles if member.ref == ref)
    f0_hz, q, gains = figures(stage)
    words = {
        "input resistor": f"Brings the signal in; with the feedback resistor it sets the gain of {times(gains[0])}, and it lowers Q.",
        "dc-blocking capacitor": "Keeps the resting voltages of the two stages apart.",
        "feedback resistor": f"Returns the output to the inner net: sets the gain and, with the others, the corner of {hz(f0_hz)}.",
        "series resistor": f"Leads from the inner net to the amplifier; part of the corner of {hz(f0_hz)}.",
        "shunt capacitor": f"Takes treble to ground at the inner net. Larger: lower corner and higher Q (now {q:.2f}).",
        "feedback capacitor": f"Takes treble around the amplifier. Larger: lower corner and lower Q (now {q:.2f}).",
        "amplifier": "Holds its inverting input still, so that both feedback paths work on one signal.",
    }
    return words.get(role, f"{named(bench, ref)} moves the corner, now {hz(f0_hz)}.")


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
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=(
        Example(
            text="""pedal Two paths
supply V9 9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 1u > R3 10k > M > R4 10k > U1.inv
M > C3 5n6 > gnd
M > R5 10k > U1.out
U1.inv > C4 560p > U1.out
VB > U1.non
U1.out > C5 1u > OUT
""",
            roles={
                "U1": (KIND_NAME, "amplifier"),
                "R3": (KIND_NAME, "input resistor"),
                "R4": (KIND_NAME, "series resistor"),
                "R5": (KIND_NAME, "feedback resistor"),
                "C3": (KIND_NAME, "shunt capacitor"),
                "C4": (KIND_NAME, "feedback capacitor"),
            },
        ),
    ),
)
