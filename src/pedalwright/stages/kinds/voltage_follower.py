"""The voltage follower: the whole output goes back to the inverting input, so the output copies the other
input.

It takes next to no current and gives plenty: a strong copy of a weak signal. On a divider it makes a half
supply that signals cannot move. With a capacitor from its output to the middle of its bias feed (a
bootstrap) the bias resistor moves with the signal and takes even less current.
"""

from collections.abc import Iterable

import numpy as np

from pedalwright.circuit.circuit import GROUND
from pedalwright.stages.amplifier_says import inner_transistors, names_of, role_of
from pedalwright.stages.amplifier_shape import (
    FEEDBACK_WORDS,
    Words,
    is_follower,
    propose,
    stiff_transfer,
    where_closed,
)
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch, passes_dc, sorts
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.nets import pushed_followers
from pedalwright.stages.network import AmplifierNetwork
from pedalwright.stages.stage import Example, Number, Proposal, Role, Stage, StageKind, Transfer
from pedalwright.stages.wording import volts

SOURCE = (
    "Coughlin and Driscoll, Operational Amplifiers and Linear Integrated Circuits, ch. 3 (voltage follower)"
)
KIND_NAME = "voltage-follower"
BOOTSTRAP_WORDS: Words = {
    "C": "bootstrap capacitor",
    "R": "network part",
    "L": "network part",
    "D": "network part",
    "knob": "network part",
}


def _bootstrap(network: AmplifierNetwork) -> Branch | None:
    """The capacitor from the output to the middle of the bias feed, when the non-inverting side has just
    that shape.
    """
    amp = network.amplifier
    if len(network.inner) != 1:
        return None
    middle = network.inner[0]
    to_output, to_input = network.joined(middle, amp.out), network.joined(middle, amp.non)
    to_ground = network.joined(middle, GROUND)
    if to_output is None or to_input is None or to_ground is None:
        return None
    right = sorts(to_output) == {"C"} and sorts(to_input) == {"R"} and "R" in sorts(to_ground)
    fed = {edge.other(middle) for edge in network.touching(middle)} == {amp.out, amp.non, GROUND}
    return to_output if right and fed else None


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free amplifier whose output goes to its inverting input and nowhere else, or through feedback
    parts alone.
    """
    yield from _pushed(claimed)
    for network in claimed.networks():
        if not is_follower(network) or network.amplifier.non in (
            network.amplifier.out,
            network.amplifier.inv,
        ):
            continue
        bootstrap = _bootstrap(network) if network.has_positive_feedback else None
        if network.has_positive_feedback and bootstrap is None:
            continue
        feedback = network.feedback
        if feedback is not None and (not passes_dc(feedback) or "D" in sorts(feedback)):
            continue
        branches = {"feedback": (feedback,)} if feedback is not None else {}
        if bootstrap is not None:
            branches["bootstrap"] = (bootstrap,)
        words = {"feedback": FEEDBACK_WORDS, "bootstrap": BOOTSTRAP_WORDS}
        yield propose(claimed, network, KIND_NAME, branches, words, inputs=(network.amplifier.non,))


def _pushed(claimed: Claimed) -> Iterable[Proposal]:
    """Amplifiers that hold a bias net through transistors of their own."""
    for net in claimed.classes.bias:
        for amp in pushed_followers(claimed.view, net):
            if claimed.free(amp.ref):
                yield Proposal(
                    kind=KIND_NAME,
                    roles=(Role(amp.ref, "amplifier"),),
                    inputs=(amp.non,),
                    output=net,
                    nets={"inverting": amp.inv, "non-inverting": amp.non},
                )


def transfer(stage: Stage, bench: Bench) -> Transfer | None:
    """One: the feedback parts carry no current, and the bootstrap acts on what feeds the input, not on the
    gain.
    """
    if bench.classes.is_still(stage.output):
        return None
    return where_closed(stage, bench, _claim(stage))


def _claim(stage: Stage) -> Transfer:
    """The closed form."""
    claim = stiff_transfer(stage, lambda s: (np.ones_like(s),), formula="H = 1", source=SOURCE)
    return Transfer(
        inputs=claim.inputs,
        output=claim.output,
        gains=claim.gains,
        members=frozenset(),
        formula=claim.formula,
        source=claim.source,
    )


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The gain, or the voltage of the bias net it makes."""
    if bench.classes.is_still(stage.output):
        rest = bench.volts(stage.output)
        return (
            Number(
                name="bias voltage", unit="V", closed=bench.volts(stage.inputs[0]), full=rest, source=SOURCE
            ),
        )
    return (Number(name="gain", unit="x", closed=1.0, full=None, source=SOURCE),)


def purpose(stage: Stage, bench: Bench) -> str:
    """What it does here."""
    if bench.classes.is_still(stage.output):
        rest = bench.volts(stage.output)
        at = f" of {volts(rest)}" if rest is not None else ""
        return (
            f"Buffers the bias: it copies the resting voltage{at} and holds it stiffly, so that the "
            "stages that rest on it cannot pull it about or hear each other through it."
        )
    says = (
        "Copies the signal at its non-inverting input, gain 1 (0 dB). It takes next to no current from "
        "what comes before and can drive what comes after, so neither loads the other."
    )
    if "bootstrap" in stage.branches:
        says += (
            f" {names_of(stage, bench, 'bootstrap')} moves the bias feed along with the signal, so that "
            "even this takes hardly any current."
        )
    return says + inner_transistors(stage, bench)


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for."""
    role = role_of(stage, ref)
    if role == "feedback resistor":
        return (
            "Leads the output back to the inverting input. No current flows in it, so its value hardly "
            "matters; it evens out the amplifier's input currents."
        )
    if role == "feedback capacitor":
        return "Keeps the amplifier steady with its feedback resistor; it leaves the gain of 1 as it is."
    if role == "bootstrap capacitor":
        return (
            "Leads the output back to the middle of the bias feed: both ends of the resistor into the "
            "input move alike, so it carries hardly any signal current."
        )
    return (
        "Moves its output until both its inputs stand at the same voltage: the output is a strong copy "
        "of the input."
    )


KIND = StageKind(
    kind=KIND_NAME,
    title="Voltage follower",
    says="Copies a voltage without loading it: gain one, next to no input current, a strong output.",
    sources=(SOURCE,),
    order=470,
    group="amplifier",
    roles={
        "amplifier": "copies its input",
        "feedback resistor": "leads the output back to the inverting input",
        "feedback capacitor": "steadies the amplifier",
        "bootstrap capacitor": "moves the bias feed along with the signal",
        "feedback inductor": "raises the gain in the treble",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=(
        Example(
            text="""pedal Doorstep
supply V9 9V wall
input IN pickup
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 22n > U1.non
U1.non > R3 1M > VB
U1.inv > R4 10k > U1.out
U1.out > C3 1u > OUT
OUT > R5 100k > gnd
""",
            roles={"U1": (KIND_NAME, "amplifier"), "R4": (KIND_NAME, "feedback resistor")},
        ),
        Example(
            text="""pedal Quiet middle
supply V9 9V wall
input IN pickup
output OUT 100k
part U1 dual-opamp TL072 v+=V9 v-=gnd
V9 > R1 47k > HALF > R2 47k > gnd
HALF > C1 10u > gnd
HALF > U1a.non
U1a.inv > U1a.out > VB
IN > C2 22n > U1b.non > R3 1M > VB
U1b.inv > U1b.out > C3 1u > OUT
OUT > R4 100k > gnd
""",
            roles={"U1a": (KIND_NAME, "amplifier"), "U1b": (KIND_NAME, "amplifier")},
        ),
        Example(
            text="""pedal Bootlace
supply V9 9V wall
input IN pickup
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
V9 > R1 100k > VB > R2 100k > gnd
VB > C1 47u > gnd
IN > C2 10n > U1.non
U1.non > R3 220k > MID > R4 220k > VB
MID > C3 1u > U1.out
U1.inv > U1.out > C4 1u > OUT
OUT > R5 100k > gnd
""",
            roles={"U1": (KIND_NAME, "amplifier"), "C3": (KIND_NAME, "bootstrap capacitor")},
        ),
        Example(
            text="""pedal Follower with resistor inside the loop
supply V9 9V wall
input IN pickup
output OUT 10k
part U1 dual-opamp NE5532 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 100n > U1a.non > R3 1M > VB
U1a.out > R4 100 > DRIVE > U1a.inv
DRIVE > C5 10u > OUT > R7 100k > gnd
DRIVE > R8 10k > U1b.inv
U1b.inv > R9 10k > TWO
U1b.out > R10 100 > TWO
U1b.out > C6 100p > U1b.inv
U1b.non > VB
TWO > C7 1u > R11 10k > gnd
""",
            roles={
                "U1a": (KIND_NAME, "amplifier"),
                "R4": (KIND_NAME, "feedback resistor"),
                "U1b": ("inverting-amplifier", "amplifier"),
                "R10": ("inverting-amplifier", "feedback resistor"),
                "C6": ("inverting-amplifier", "feedback capacitor"),
                "C5": ("dc-blocking", "dc-blocking capacitor"),
            },
        ),
    ),
    near_misses=(
        Example(
            text="""pedal No copy
supply V9 9V wall
input IN pickup
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 22n > U1.non > R3 1M > VB
U1.inv > R4 10k > U1.out
U1.inv > R5 10k > C3 10u > gnd
U1.out > C4 1u > OUT
""",
            roles={"U1": ("*", "amplifier")},
        ),
    ),
)
