"""The inverting amplifier: the signal comes through a resistor into a point that does not move, and leaves
upside down.

Gain is the feedback impedance over the input impedance, with a minus sign. The inverting input is a virtual
ground, so the input resistor alone is what the stage before sees.
"""

from collections.abc import Iterable
from dataclasses import replace

from pedalwright.formulas.amplifier import inverting_gain, tee_z
from pedalwright.stages.amplifier_says import (
    blocking_words,
    chip_word,
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
    INPUT_WORDS,
    SHUNT_WORDS,
    Words,
    is_plain,
    propose,
    signal_inputs,
    stiff_transfer,
    where_closed,
)
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch, conducts, passes_dc, sorts
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.network import AmplifierNetwork
from pedalwright.stages.stage import ComplexArray, Example, Number, Proposal, Stage, StageKind, Transfer
from pedalwright.stages.tee import tee_of
from pedalwright.stages.wording import hz, ohms, plain_resistance, times

SOURCE = "Coughlin and Driscoll, Operational Amplifiers and Linear Integrated Circuits, ch. 3"
KIND_NAME = "inverting-amplifier"
WORDS: dict[str, Words] = {
    "input": INPUT_WORDS,
    "feedback": FEEDBACK_WORDS,
    "tee": FEEDBACK_WORDS,
    "shunt": SHUNT_WORDS,
}
UNITY = 0.02
"""a gain this near to one is told as turning over only"""


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free amplifier with one input branch, one feedback branch or T, and its other input on a steady
    net.
    """
    for network in claimed.networks():
        branches = _plain_branches(network) or _tee_branches(network)
        if branches is not None:
            yield propose(claimed, network, KIND_NAME, branches, WORDS, inputs=signal_inputs(network))


def _plain_branches(network: AmplifierNetwork) -> dict[str, tuple[Branch, ...]] | None:
    feedback = network.feedback
    inputs = signal_inputs(network)
    if not network.non_still or not is_plain(network) or feedback is None or len(inputs) != 1:
        return None
    into = network.joined(inputs[0], network.amplifier.inv)
    if into is None or not passes_dc(feedback) or "D" in sorts(feedback):
        return None
    if "R" not in sorts(into) or not conducts(into):
        return None
    shunt = () if network.shunt is None else (network.shunt,)
    return {"input": (into,), "feedback": (feedback,), "shunt": shunt}


def _tee_branches(network: AmplifierNetwork) -> dict[str, tuple[Branch, ...]] | None:
    """One input, and a T of resistors as feedback: a large feedback resistance made of small ones."""
    tee = tee_of(network)
    if tee is None or len(tee.inputs) != 1 or "C" in sorts(tee.shunt) or "D" in sorts(tee.inputs[0]):
        return None
    across = () if tee.across is None else (tee.across,)
    return {"input": tee.inputs, "tee": (tee.first, tee.second, tee.shunt), "feedback": across, "shunt": ()}


def _feedback_z(stage: Stage, s: ComplexArray) -> ComplexArray:
    """Impedance of the feedback, a T counted as the one impedance it acts like."""
    found = [branch.impedance(s) for branch in stage.branches["feedback"]]
    if stage.branches.get("tee"):
        first, second, shunt = (branch.impedance(s) for branch in stage.branches["tee"])
        found.append(tee_z(first, second, shunt_z=shunt))
    return found[0] if len(found) == 1 else 1.0 / (1.0 / found[0] + 1.0 / found[1])


def transfer(stage: Stage, bench: Bench) -> Transfer | None:
    """-Zf / Zi; a shunt at the inverting input carries no signal."""
    return where_closed(stage, bench, _claim(stage))


def _claim(stage: Stage) -> Transfer:
    """The closed form."""
    into = stage.branch("input")
    own = {name: group for name, group in stage.branches.items() if name != "shunt"}
    return stiff_transfer(
        replace(stage, branches=own),
        lambda s: (inverting_gain(_feedback_z(stage, s), into.impedance(s)),),
        formula="H = -Zt / Zi,  Zt = a + b + a b / g" if stage.branches.get("tee") else "H = -Zf / Zi",
        source=SOURCE,
    )


def feedback_ohms(stage: Stage) -> float:
    """Resistance of the feedback, a T counted as the one resistance it acts like."""
    across = [plain_resistance(branch) for branch in stage.branches["feedback"]]
    if not stage.branches.get("tee"):
        return across[0]
    first, second, shunt = (plain_resistance(branch) for branch in stage.branches["tee"])
    tee = tee_z(first, second, shunt_z=shunt)
    return 1.0 / sum(1.0 / value for value in (tee, *across))


def middle_gain(stage: Stage) -> float:
    """Gain where the capacitors do not matter, as a plain ratio with its sign."""
    return -feedback_ohms(stage) / plain_resistance(stage.branch("input"))


def _across(stage: Stage) -> Branch | None:
    return (
        stage.branches["feedback"][0]
        if stage.branches["feedback"] and not stage.branches.get("tee")
        else None
    )


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Mid-band gain, the corners of the input and feedback capacitors, and the input resistance."""
    into = stage.branch("input")
    seen = plain_resistance(into)
    return (
        Number(name="mid-band gain", unit="x", closed=middle_gain(stage), full=None, source=SOURCE),
        Number(name="input resistance", unit="ohm", closed=seen, full=None, source=SOURCE),
        *corner_numbers(into, _across(stage)),
    )


def purpose(stage: Stage, bench: Bench) -> str:
    """What it does here, with its numbers."""
    gain = middle_gain(stage)
    turns = abs(abs(gain) - 1) < UNITY
    action = (
        "turns the signal over" if turns else f"turns the signal over and makes it {times(gain)} as large"
    )
    return (
        f"The amplifier {action}. Its inverting input stands still, because the feedback answers every "
        f"current that comes in through {names_of(stage, bench, 'input')} with an equal one through "
        f"{names_of(stage, bench, 'feedback', 'tee')}.{corner_words(stage.branch('input'), _across(stage))}"
        + knob_ranges(stage, bench, middle_gain)
        + chip_word(stage, bench)
        + inner_transistors(stage, bench)
    )


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    role, leaf = role_of(stage, ref), leaf_named(stage, ref)
    into, back, gain = (
        plain_resistance(stage.branch("input")),
        feedback_ohms(stage),
        times(middle_gain(stage)),
    )
    if role == "input resistor":
        return (
            f"Turns the signal voltage into a current for the feedback to answer; with {ohms(back)} of "
            f"feedback the gain is {gain}. Smaller: louder. The stage before sees {ohms(into)}."
        )
    if role == "feedback resistor" and stage.branches.get("tee"):
        return (
            f"One of three that act like a single feedback resistor of {ohms(back)}; over {ohms(into)} "
            f"that is {gain}."
        )
    if role == "feedback resistor":
        return f"Sets the gain: {ohms(back)} over {ohms(into)} is {gain}. Larger: louder."
    if role == "dc-blocking capacitor":
        return blocking_words(stage, ref)
    if role == "feedback capacitor" and leaf is not None:
        return (
            f"Lets the gain fall above {hz(corner_hz(back, leaf.value))} and keeps the amplifier steady. "
            "Larger: darker."
        )
    if role == "gain knob":
        return knob_span(stage, ref, bench, middle_gain)
    if role in ("gain-setting resistor", "bass-corner capacitor"):
        return (
            "Leads from the point that stands still to a steady net: it carries no signal, but moves the "
            "resting voltage or steadies the amplifier."
        )
    return "Holds its two inputs at the same voltage by moving its output."


KIND = StageKind(
    kind=KIND_NAME,
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
        "input inductor": "raises the input's impedance in the treble",
        "feedback inductor": "raises the gain in the treble",
        "gain-setting resistor": "moves the resting voltage, carries no signal",
        "bass-corner capacitor": "steadies the amplifier, carries no signal",
        "gain-setting inductor": "lowers the gain in the treble",
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
                "U1": (KIND_NAME, "amplifier"),
                "R3": (KIND_NAME, "input resistor"),
                "C2": (KIND_NAME, "dc-blocking capacitor"),
                "R4": (KIND_NAME, "feedback resistor"),
                "C3": (KIND_NAME, "feedback capacitor"),
            },
        ),
        Example(
            text="""pedal Large from small
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=VPOS v-=VNEG
knob MORE 10k linear at 5
IN > R1 100k > U1.inv
U1.inv > R2 100k > T > R3 47k > U1.out
T > R4 1k > MORE.1
MORE.2 > MORE.3 > gnd
U1.inv > C1 10p > U1.out
U1.non > R5 4k7 > gnd
U1.out > OUT
""",
            roles={
                "U1": (KIND_NAME, "amplifier"),
                "R1": (KIND_NAME, "input resistor"),
                "R2": (KIND_NAME, "feedback resistor"),
                "R4": (KIND_NAME, "feedback resistor"),
                "MORE": (KIND_NAME, "gain knob"),
                "C1": (KIND_NAME, "feedback capacitor"),
            },
        ),
    ),
    near_misses=(
        Example(
            text="""pedal Only a capacitor in
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=VPOS v-=VNEG
IN > C1 10n > U1.inv
U1.inv > R1 10k > U1.out
U1.non > gnd
U1.out > OUT
""",
            roles={"U1": ("general-amplifier", "amplifier")},
        ),
    ),
)
