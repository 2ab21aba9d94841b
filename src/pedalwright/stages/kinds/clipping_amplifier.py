"""The clipping amplifier: diodes in the feedback hold the output near the input once it passes their voltage.

Small signals see a plain amplifier, inverting or not. Large ones open the diodes, the feedback shorts
itself, and the tops are pressed flat: overdrive. A string of diodes lets more through before it clips;
unequal strings clip one half more than the other, which adds even harmonics.
"""

from collections.abc import Iterable
from dataclasses import replace

from pedalwright.formulas.amplifier import inverting_gain, non_inverting_gain
from pedalwright.stages.amplifier_says import (
    blocking_words,
    corner_hz,
    corner_numbers,
    corner_words,
    knob_ranges,
    knob_span,
    leaf_named,
    names_of,
    role_of,
    with_roles,
)
from pedalwright.stages.amplifier_shape import (
    FEEDBACK_WORDS,
    INPUT_WORDS,
    SHUNT_WORDS,
    Words,
    is_plain,
    negative_inner,
    network_transfer,
    propose,
    signal_inputs,
    stiff_transfer,
)
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch, conducts, sorts
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.clipping import clipping_words, limits_of
from pedalwright.stages.kinds._clipping_amplifier_examples import EXAMPLES, NEAR_MISSES
from pedalwright.stages.network import AmplifierNetwork
from pedalwright.stages.stage import Number, Proposal, Role, Stage, StageKind, Transfer
from pedalwright.stages.transistor_clipping import (
    clipper_numbers,
    clipper_part_says,
    clipper_purpose,
    find_clipping_transistors,
    is_transistor_clipper,
)
from pedalwright.stages.transistor_shape import stage_transfer
from pedalwright.stages.wording import hz, listed, plain_resistance, times

SOURCE = (
    "Coughlin and Driscoll, Operational Amplifiers and Linear Integrated Circuits, ch. 3; diodes open "
    "for small signals"
)
KIND_NAME = "clipping-amplifier"
WORDS: dict[str, Words] = {
    "feedback": FEEDBACK_WORDS,
    "input": INPUT_WORDS,
    "shunt": SHUNT_WORDS,
    "other": {**FEEDBACK_WORDS, "C": "feedback capacitor"},
}


def _branches(network: AmplifierNetwork, across: tuple[str, ...]) -> dict[str, tuple[Branch, ...]] | None:
    """Feedback, and what feeds or shunts the inverting input; None when diodes do not clip a linear loop
    here.
    """
    if is_plain(network):
        feedback = network.feedback
        if feedback is None or not (across or "D" in sorts(feedback)) or not conducts(feedback):
            return None
        inputs = tuple(network.joined(net, network.amplifier.inv) for net in signal_inputs(network))
        into = tuple(branch for branch in inputs if branch is not None and conducts(branch))
        shunt = (network.shunt,) if network.shunt is not None else ()
        wrong = (into and not network.non_still) or (network.non_still and not into)
        if wrong or not (into or shunt) or any("D" in sorts(branch) for branch in (*into, *shunt)):
            return None
        return {"feedback": (feedback,), "input": into, "shunt": shunt}
    return _wide_branches(network)


def _wide_branches(network: AmplifierNetwork) -> dict[str, tuple[Branch, ...]] | None:
    """A loop with inner nets in which diodes lie between output and inverting input."""
    inner = negative_inner(network)
    if not inner or not network.has_linear_feedback or network.has_positive_feedback:
        return None
    ends = {network.amplifier.inv, network.amplifier.out, *inner}
    diodes = [edge for edge in network.edges if "D" in sorts(edge.branch)]
    if not diodes or not all({edge.a, edge.b} <= ends for edge in diodes):
        return None
    into = [edge for edge in network.edges if {edge.a, edge.b} & set(network.inputs)]
    other = [edge for edge in network.edges if edge not in into]
    return {
        "input": tuple(edge.branch for edge in into),
        "other": tuple(edge.branch for edge in other),
    }


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free amplifier whose loop is closed for small signals and has diodes across it."""
    for network in claimed.networks():
        across = transistors_across(claimed, network)
        branches = _branches(network, across)
        if branches is not None:
            inputs = signal_inputs(network) if network.non_still else network.inputs
            found = propose(claimed, network, KIND_NAME, branches, WORDS, inputs=inputs)
            yield replace(found, roles=(*found.roles, *(Role(ref, "clipping diode") for ref in across)))
    yield from find_clipping_transistors(claimed, KIND_NAME)


def transistors_across(claimed: Claimed, network: AmplifierNetwork) -> tuple[str, ...]:
    """Free transistors wired as diodes (gate or base on their own drain or collector) across the feedback."""
    ends = {network.amplifier.inv, network.amplifier.out}
    return tuple(
        item.ref
        for item in claimed.view.transistors
        if {item.top, item.bottom} == ends and item.control in ends and claimed.free(item.ref)
    )


def transfer(stage: Stage, bench: Bench) -> Transfer | None:
    """The plain amplifier's gain: diodes are open for small signals."""
    if is_transistor_clipper(stage):
        return stage_transfer(stage, bench)
    if "other" in stage.branches:
        return network_transfer(stage, bench, formula="nodal reduction of the loop", source=SOURCE)
    feedback = stage.branch("feedback")
    if stage.branches["input"]:
        return stiff_transfer(
            _without_shunt(stage),
            lambda s: tuple(
                inverting_gain(feedback.impedance(s), branch.impedance(s))
                for branch in stage.branches["input"]
            ),
            formula="H = -Zf / Zi",
            source=SOURCE,
        )
    shunt = stage.branch("shunt")
    return stiff_transfer(
        stage,
        lambda s: (non_inverting_gain(feedback.impedance(s), shunt.impedance(s)),),
        formula="H = 1 + Zf / Zg",
        source=SOURCE,
    )


def _without_shunt(stage: Stage) -> Stage:
    return replace(stage, branches={**stage.branches, "shunt": ()})


def middle_gain(stage: Stage) -> float:
    """Small-signal gain where the capacitors do not matter; not a number for a loop with inner nets."""
    if "other" in stage.branches:
        return float("nan")
    feedback = plain_resistance(stage.branch("feedback"))
    if stage.branches["input"]:
        return -feedback / plain_resistance(stage.branch("input"))
    return 1.0 + feedback / plain_resistance(stage.branch("shunt"))


def _bass_branch(stage: Stage) -> Branch | None:
    group = stage.branches.get("input") or stage.branches.get("shunt") or ()
    return group[0] if group else None


def _treble_branch(stage: Stage) -> Branch | None:
    return stage.branch("feedback") if "feedback" in stage.branches else None


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Small-signal gain, corners, and the voltages at which the diodes begin to hold the output."""
    if is_transistor_clipper(stage):
        return clipper_numbers(stage, bench)
    found: list[Number] = []
    gain = middle_gain(stage)
    if gain == gain:
        found.append(Number(name="small-signal gain", unit="x", closed=gain, full=None, source=SOURCE))
    found.extend(corner_numbers(_bass_branch(stage), _treble_branch(stage)))
    found.extend(limits_of(stage, bench))
    return tuple(found)


def purpose(stage: Stage, bench: Bench) -> str:
    """What it does here, with its numbers."""
    if is_transistor_clipper(stage):
        return clipper_purpose(stage, bench)
    gain = middle_gain(stage)
    makes = f"Makes small signals {times(gain)} as large" if gain == gain else "Makes small signals larger"
    turned = ", turned over" if stage.branches.get("input") else ""
    return (
        f"{makes}{turned}, and presses the tops of large ones flat: this is where the overdrive comes from. "
        + _clips(stage, bench)
        + corner_words(_bass_branch(stage), _treble_branch(stage))
        + knob_ranges(stage, bench, middle_gain)
    )


def _clips(stage: Stage, bench: Bench) -> str:
    """Where the output is held, by diodes or by transistors wired as such."""
    transistors = [ref for ref in stage.with_role("clipping diode") if leaf_named(stage, ref) is None]
    said = clipping_words(stage, bench)
    if transistors:
        said += f" {listed(transistors)}, wired as diodes, hold the output once their threshold is passed."
    return said.strip()


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    if is_transistor_clipper(stage):
        return clipper_part_says(stage, ref, bench)
    return _part_of_amplifier(stage, ref, bench)


def _part_of_amplifier(stage: Stage, ref: str, bench: Bench) -> str:
    role, leaf = role_of(stage, ref), leaf_named(stage, ref)
    gain = middle_gain(stage)
    if role == "clipping diode":
        return (
            "Conducts once the voltage across the feedback passes its own, and then holds the output "
            f"there. {_clips(stage, bench)}"
        )
    if "other" in stage.branches:
        return (
            "Belongs to the loop around the amplifier: it shapes what is amplified before the diodes hold it."
        )
    if role == "gain knob":
        return knob_span(stage, ref, bench, middle_gain) + " More gain drives the diodes harder."
    if role in ("feedback resistor", "input resistor", "gain-setting resistor"):
        grows = "Larger" if role == "feedback resistor" else "Smaller"
        return f"Sets the small-signal gain, now {times(gain)}. {grows}: more gain, sooner clipped."
    if role == "feedback capacitor" and leaf is not None:
        corner = corner_hz(plain_resistance(stage.branch("feedback")), leaf.value)
        return (
            f"Lets the gain fall above {hz(corner)}, which softens the edges the diodes make, and keeps "
            "the amplifier steady."
        )
    if role == "bass-corner capacitor" and leaf is not None:
        corner = corner_hz(plain_resistance(stage.branch("shunt")), leaf.value)
        return (
            f"Lets the gain fall to 1 below {hz(corner)}, so that the bass is not clipped into mud. "
            "Larger: more bass is overdriven."
        )
    if role == "dc-blocking capacitor":
        return blocking_words(stage, ref)
    return (
        "Amplifies until "
        f"{with_roles(stage, bench, 'clipping diode') or names_of(stage, bench, 'feedback')} hold it."
    )


KIND = StageKind(
    kind=KIND_NAME,
    title="Clipping amplifier",
    says="Amplifies small signals and presses large ones flat with diodes in its feedback.",
    sources=(SOURCE,),
    order=435,
    group="clipper",
    roles={
        "amplifier": "drives the diodes",
        "transistor": "drives the diodes",
        "collector resistor": "turns the current into the output voltage",
        "drain resistor": "turns the current into the output voltage",
        "emitter resistor": "holds the resting current and the gain",
        "source resistor": "holds the resting current and the gain",
        "emitter bypass capacitor": "lets the signal past the emitter resistor",
        "source bypass capacitor": "lets the signal past the source resistor",
        "bias feedback resistor": "feeds the base from a voltage that falls when it gets too much",
        "load capacitor": "lets treble fall at the collector",
        "base resistor": "stands between the signal and the base",
        "gate resistor": "stands between the signal and the gate",
        "bias trim": "sets where the collector rests",
        "clipping diode": "holds the output once its own voltage is reached",
        "input resistor": "turns the signal into a current",
        "dc-blocking capacitor": "keeps resting voltages apart",
        "feedback resistor": "sets the gain of small signals",
        "feedback capacitor": "lets the treble fall and rounds the edges",
        "gain-setting resistor": "takes part of what comes back to ground",
        "bass-corner capacitor": "keeps bass out of the clipping",
        "gain knob": "moves the gain: how hard the diodes are driven",
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
