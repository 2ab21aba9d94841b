"""The differential amplifier: one signal at the inverting side, another at the non-inverting side; the
difference comes out.

With equal ratios on both sides what is common to both cancels. With unequal ones it is a mixer with one
input turned over. Any number of input resistors on either side; each has its own gain.
"""

from collections.abc import Iterable

import numpy as np

from pedalwright.circuit.circuit import GROUND
from pedalwright.formulas.superposition import adding_subtracting_gains
from pedalwright.stages.amplifier_says import blocking_words, corner_numbers, names_of, role_of
from pedalwright.stages.amplifier_shape import (
    FEEDBACK_WORDS,
    INPUT_WORDS,
    Words,
    is_plain,
    propose,
    signal_inputs,
    stiff_transfer,
    where_closed,
)
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch, Leaf, Series, parallel, passes_dc, series, sorts
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.kinds._differential_amplifier_examples import EXAMPLES, NEAR_MISSES
from pedalwright.stages.network import AmplifierNetwork, arms_of
from pedalwright.stages.stage import ComplexArray, Number, Proposal, Stage, StageKind, Transfer
from pedalwright.stages.wording import listed, plain_resistance, times

SOURCE = (
    "Coughlin and Driscoll, Operational Amplifiers and Linear Integrated Circuits, ch. 8 (differential "
    "amplifier)"
)
KIND_NAME = "differential-amplifier"
REFERENCE_WORDS: Words = {
    "R": "reference resistor",
    "C": "reference capacitor",
    "L": "network part",
    "D": "network part",
    "knob": "gain knob",
}
WORDS = {
    "feedback": FEEDBACK_WORDS,
    "input": INPUT_WORDS,
    "shunt": {**REFERENCE_WORDS, "R": "reference resistor"},
    "positive": INPUT_WORDS,
    "reference": REFERENCE_WORDS,
}


def _is_one(network: AmplifierNetwork) -> bool:
    feedback = network.feedback
    return (
        not network.non_still
        and is_plain(network)
        and feedback is not None
        and passes_dc(feedback)
        and "D" not in sorts(feedback)
        and bool(signal_inputs(network))
    )


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free amplifier with one feedback branch, an input on the inverting side and a signal on the
    other.
    """
    for network in claimed.networks():
        if not _is_one(network):
            continue
        proposal = _proposal(claimed, network)
        if proposal is not None:
            yield proposal


def _proposal(claimed: Claimed, network: AmplifierNetwork) -> Proposal | None:
    amp = network.amplifier
    negative = signal_inputs(network)
    into = tuple(branch for net in negative if (branch := network.joined(net, amp.inv)) is not None)
    if network.feedback is None or len(into) != len(negative):
        return None
    negative, into = without_blocking(negative, into)
    branches: dict[str, tuple[Branch, ...]] = {"feedback": (network.feedback,), "input": into}
    if network.shunt is not None:
        branches["shunt"] = (network.shunt,)
    positive, reference = positive_side(claimed, network)
    nets = (*negative, amp.non)
    if positive:
        others, arms = without_blocking(tuple(positive), tuple(positive.values()))
        branches["positive"] = arms
        branches["reference"] = reference
        nets = (*negative, *others)
    return propose(claimed, network, KIND_NAME, branches, WORDS, inputs=nets)


def without_blocking(
    nets: tuple[str, ...], branches: tuple[Branch, ...]
) -> tuple[tuple[str, ...], tuple[Branch, ...]]:
    """The branches without the capacitors at their outer ends: those are stages of their own, before this
    one.
    """
    cut = [_cut(net, branch) for net, branch in zip(nets, branches, strict=True)]
    return tuple(net for net, _ in cut), tuple(branch for _, branch in cut)


def _cut(net: str, branch: Branch) -> tuple[str, Branch]:
    if not isinstance(branch, Series):
        return net, branch
    for link in branch.links:
        if isinstance(link, Leaf) and link.sort == "C" and net in (link.a, link.b):
            rest = series(*(other for other in branch.links if other is not link))
            return link.other(net), rest
    return net, branch


def positive_side(
    claimed: Claimed, network: AmplifierNetwork
) -> tuple[dict[str, Branch], tuple[Branch, ...]]:
    """Arms from signals to the non-inverting input, and from there to steady nets.

    Empty when they are no divider of this stage: a lone coupling capacitor with its bias feed, or a wiper.
    """
    amp = network.amplifier
    arms: dict[str, Branch] = {}
    down: list[Branch] = []
    for edge in arms_of(claimed.view, claimed.classes, amp):
        far = edge.other(amp.non)
        if amp.non not in (edge.a, edge.b) or far in (amp.inv, amp.out):
            return {}, ()
        if far == GROUND:
            down.append(edge.branch)
        else:
            arms[far] = edge.branch
    others = {pin[0] for pin in claimed.view.active_pins.get(amp.non, ())} - {amp.part.ref}
    plain = all("R" in sorts(branch) and "D" not in sorts(branch) for branch in (*arms.values(), *down))
    halves = [leaf.ref for branch in arms.values() for leaf in branch.leaves() if leaf.variable]
    if others or not arms or not down or not plain or len(set(halves)) != len(halves):
        return {}, ()
    return arms, (parallel(*down),)


def transfer(stage: Stage, bench: Bench) -> Transfer | None:
    """-Zf / Zi for every inverting input; (1 + Zf / Zi all together) times the divider for every other."""
    return where_closed(stage, bench, _claim(stage))


def _claim(stage: Stage) -> Transfer:
    """The closed form."""
    feedback = stage.branch("feedback")
    into, shunt = stage.branches["input"], stage.branches.get("shunt", ())
    positive, reference = stage.branches.get("positive", ()), stage.branches.get("reference", ())

    def gains(s: ComplexArray) -> tuple[ComplexArray, ...]:
        straight = [np.ones_like(s)]
        return adding_subtracting_gains(
            feedback_ohms=feedback.impedance(s),
            negative_ohms=[branch.impedance(s) for branch in into],
            negative_shunt_ohms=[branch.impedance(s) for branch in shunt],
            positive_ohms=[branch.impedance(s) for branch in positive] or straight,
            reference_ohms=[branch.impedance(s) for branch in reference],
        )

    return stiff_transfer(
        stage,
        gains,
        formula="H- = -Zf / Zi,  H+ = (1 + Zf / Zi) Zr / (Zr + Zp)",
        source=SOURCE,
    )


def middle_gains(stage: Stage) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Gains from the inverting inputs and from the others where capacitors do not matter."""

    def ohms(name: str) -> list[float]:
        return [plain_resistance(branch) for branch in stage.branches.get(name, ())]

    negative = ohms("input")
    gains = adding_subtracting_gains(
        feedback_ohms=plain_resistance(stage.branch("feedback")),
        negative_ohms=negative,
        negative_shunt_ohms=ohms("shunt"),
        positive_ohms=ohms("positive") or [1.0],
        reference_ohms=ohms("reference"),
    )
    return gains[: len(negative)], gains[len(negative) :]


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The gain from every input, and the corners of the feedback's capacitors."""
    negative, positive = middle_gains(stage)
    found = [
        Number(name=f"gain from {net}", unit="x", closed=gain, full=None, source=SOURCE)
        for net, gain in zip(stage.inputs, (*negative, *positive), strict=True)
    ]
    return (*found, *corner_numbers(stage.branches["input"][0], stage.branch("feedback")))


def purpose(stage: Stage, bench: Bench) -> str:
    """What it does here, with its numbers."""
    negative, positive = middle_gains(stage)
    down = listed([times(gain) for gain in negative])
    up = listed([times(gain) for gain in positive])
    balanced = len(negative) == len(positive) == 1 and abs(negative[0] + positive[0]) < 0.02 * positive[0]
    says = (
        f"Takes the difference of two signals: the one at its non-inverting side comes out {up}, the one "
        f"at its inverting side {down} and turned over."
    )
    if len(negative) > 1 or len(positive) > 1:
        says = (
            f"Adds and subtracts: what comes in at the non-inverting side comes out {up}, the rest {down} "
            "and turned over."
        )
    return says + (" Both are alike, so what is common to both cancels." if balanced else "")


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    role = role_of(stage, ref)
    negative, positive = middle_gains(stage)
    if role == "input resistor":
        mine = any(leaf.ref == ref for leaf in stage.leaves("input"))
        group = stage.branches["input"] if mine else stage.branches.get("positive", ())
        gains = negative if mine else positive
        place = next(
            (place for place, branch in enumerate(group) if any(leaf.ref == ref for leaf in branch.leaves())),
            0,
        )
        side = "the inverting side, turned over" if mine else "the non-inverting side, the right way up"
        return f"Brings a signal to {side}: it comes out {times(gains[place])}. Larger: less of it."
    if role == "reference resistor":
        return (
            "Divides the signal at the non-inverting side against the steady net, so that both sides can "
            "have the same gain."
        )
    if role == "feedback resistor":
        return f"Sets the gain of both sides with {names_of(stage, bench, 'input')}. Larger: more gain."
    if role == "dc-blocking capacitor":
        return blocking_words(stage, ref)
    if role in ("feedback capacitor", "reference capacitor"):
        return "Lets the treble fall and keeps the amplifier steady."
    if role == "gain knob":
        return f"Moves the gains, now {listed([times(gain) for gain in (*negative, *positive)])}."
    return "Moves its output until both its inputs stand at the same voltage."


KIND = StageKind(
    kind=KIND_NAME,
    title="Differential amplifier",
    says="Subtracts one signal from another.",
    sources=(SOURCE,),
    order=460,
    group="amplifier",
    roles={
        "amplifier": "holds both its inputs at the same voltage",
        "input resistor": "brings a signal to one side",
        "dc-blocking capacitor": "keeps resting voltages apart",
        "reference resistor": "divides the signal at the non-inverting side",
        "reference capacitor": "lets the treble fall at the non-inverting side",
        "feedback resistor": "sets the gain",
        "feedback capacitor": "lets the treble fall and steadies the amplifier",
        "gain knob": "moves the gain",
        "input inductor": "raises the input's impedance in the treble",
        "feedback inductor": "raises the gain in the treble",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=EXAMPLES,
    near_misses=NEAR_MISSES,
)
