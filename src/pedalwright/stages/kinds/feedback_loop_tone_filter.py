"""The tone control in the feedback loop: the same parts lead the signal in and the output back, and a knob
shares them out.

Turned one way a band gets more signal in and less feedback, so it is boosted; turned the other way it is
cut; in the middle both are alike and the response is flat. Also the T network with a capacitor (one shelf
or band lifted), and the pot between both inputs of an amplifier, whose wiper leads to a capacitor or a
gyrator.
"""

from collections.abc import Callable, Iterable
from dataclasses import replace

import numpy as np

from pedalwright.formulas.amplifier import inverting_gain, tee_z
from pedalwright.stages.amplifier_says import end_shares, levels_words, role_of
from pedalwright.stages.amplifier_shape import (
    INPUT_WORDS,
    Words,
    network_transfer,
    propose,
    signal_inputs,
    stiff_transfer,
    without_bias_feed,
)
from pedalwright.stages.behaviour import at_hz
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch, sorts
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.gyrator_shape import main_input, with_coils
from pedalwright.stages.kinds._feedback_loop_tone_filter_examples import EXAMPLES, NEAR_MISSES
from pedalwright.stages.network import AmplifierNetwork
from pedalwright.stages.reduction import amplifier_gains
from pedalwright.stages.stage import ComplexArray, Number, Proposal, Stage, StageKind, Transfer
from pedalwright.stages.tee import tee_of
from pedalwright.stages.tone_loop_shape import knob_branches
from pedalwright.stages.wording import hz, named
from pedalwright.units.values import print_value

SOURCE = (
    "exact nodal reduction; the form with two knobs in S. Franco, Design with Operational Amplifiers, ch. 3"
)
TEE_SOURCE = "T-to-pi transformation, textbook: Zt = a + b + a b / g"
KIND_NAME = "feedback-loop-tone-filter"
TONE: Words = {
    "R": "tone resistor",
    "C": "tone capacitor",
    "L": "tone inductor",
    "D": "clipping diode",
    "knob": "tone knob",
}
FEEDBACK: Words = {**TONE, "R": "feedback resistor", "C": "feedback capacitor"}
INPUT: Words = {**INPUT_WORDS, "knob": "tone knob"}
WORDS = {"input": INPUT, "feedback": FEEDBACK, "tone": TONE, "tee": TONE}


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free amplifier with a tone knob in its loop, or a T network with a capacitor there."""
    for network in claimed.networks():
        branches = _tee_branches(network) or knob_branches(claimed, network)
        if branches is not None:
            inputs = signal_inputs(network) if "tee" in branches else network.inputs
            found = propose(claimed, network, KIND_NAME, branches, WORDS, inputs=inputs)
            yield without_bias_feed(claimed, network, found)


def _tee_branches(network: AmplifierNetwork) -> dict[str, tuple[Branch, ...]] | None:
    """An inverting amplifier whose feedback is a T with a capacitor in the leg to ground."""
    tee = tee_of(network)
    if tee is None or "C" not in sorts(tee.shunt) or not tee.inputs:
        return None
    across = () if tee.across is None else (tee.across,)
    return {"input": tee.inputs, "tee": (tee.first, tee.second, tee.shunt), "feedback": across}


def transfer(stage: Stage, bench: Bench) -> Transfer:
    """-Zt / Zi for the T, else the nodal reduction of the whole loop."""
    if "tee" not in stage.branches:
        return network_transfer(stage, bench, formula="nodal reduction of the loop", source=SOURCE)
    first, second, shunt = stage.branches["tee"]
    across = stage.branches["feedback"]

    def gains(s: ComplexArray) -> tuple[ComplexArray, ...]:
        total = tee_z(first.impedance(s), second.impedance(s), shunt_z=shunt.impedance(s))
        for branch in across:
            total = 1.0 / (1.0 / total + 1.0 / branch.impedance(s))
        return tuple(inverting_gain(total, branch.impedance(s)) for branch in stage.branches["input"])

    return stiff_transfer(stage, gains, formula="H = -Zt / Zi,  Zt = a + b + a b / g", source=TEE_SOURCE)


def _gain(stage: Stage, bench: Bench) -> Callable[[ComplexArray], ComplexArray] | None:
    """Gain from the input that carries the signal, coils put in; None when another input is not driven."""
    if "tee" in stage.branches:
        claim = transfer(stage, bench)
        return lambda s: claim.gains(s)[0]
    network = with_coils(bench, bench.networks[stage.with_role("amplifier")[0]])
    place = main_input(bench, network)
    return None if place is None else lambda s: amplifier_gains(network, s)[place]


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Gain from the input at three frequencies."""
    gain = _gain(stage, bench)
    if gain is None:
        return ()
    points = (100.0, 1000.0, 5000.0)
    levels = 20 * np.log10(np.abs(gain(at_hz(points))))
    source = TEE_SOURCE if "tee" in stage.branches else SOURCE
    return tuple(
        Number(
            name=f"gain at {print_value(point, 'Hz')}",
            unit="dB",
            closed=float(level),
            full=None,
            source=source,
        )
        for point, level in zip(points, levels, strict=True)
    )


def purpose(stage: Stage, bench: Bench) -> str:
    """What it does here, with its numbers."""
    if "tee" in stage.branches:
        return (
            "Lifts part of the band: its feedback is a T with a capacitor in the leg, so less comes back "
            "at some frequencies, and the gain rises there. " + _levels(stage, bench)
        )
    knobs = list(stage.with_role("tone knob"))
    several = "Each knob is" if len(knobs) > 1 else f"{knobs[0]} is" if knobs else "The network is"
    return (
        f"A tone control in the feedback loop: it can boost as well as cut. {several} a seesaw between "
        "the way in and the way back: more signal in means less feedback, and that band gets louder. "
        f"{_levels(stage, bench)}"
    ).rstrip()


def _levels(stage: Stage, bench: Bench) -> str:
    gain = _gain(stage, bench)
    return levels_words(gain) if gain is not None else ""


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    role = role_of(stage, ref)
    if role == "tone knob":
        return _knob_says(stage, ref, bench)
    if role == "tone capacitor" and _is_fixed_shunt(stage, ref, bench):
        return "Takes treble to ground before the knob, wherever the knob stands. Larger: from lower down."
    words = {
        "tone capacitor": (
            "Decides which part of the band its knob moves: it is open for the bass and a short for the "
            "treble. Larger: the turning point lies lower."
        ),
        "tone resistor": (
            "Sets how far its knob can boost and cut, and keeps the knobs from loading one another."
        ),
        "input resistor": (
            "Brings the signal in; against the feedback resistor it sets the gain in the middle of the knob."
        ),
        "feedback resistor": "Leads the output back, and sets with the way in how loud the flat response is.",
        "feedback capacitor": "Keeps the amplifier steady at high frequencies.",
        "dc-blocking capacitor": "Keeps the resting voltages of the two stages apart.",
        "tone inductor": "Picks the band together with its capacitor.",
        "amplifier": (
            "Answers what comes in with what must come back, so that the network can boost as well as cut."
        ),
    }
    return words.get(role, f"{named(bench, ref)} belongs to the tone network.")


def _is_fixed_shunt(stage: Stage, ref: str, bench: Bench) -> bool:
    """It leads from the non-inverting input straight to a steady net."""
    non = stage.nets["non-inverting"]
    return any(leaf.ref == ref and bench.classes.is_still(leaf.other(non)) for leaf in bench.view.on(non))


def _knob_says(stage: Stage, ref: str, bench: Bench) -> str:
    """Where the knob acts most, and what it does there from one end to the other."""
    if "tee" in stage.branches:
        return "Moves how much comes back through the T, and with it how far that part of the band is lifted."
    network = with_coils(bench, bench.networks[stage.with_role("amplifier")[0]])
    place = main_input(bench, network)
    seesaw = "Towards the way in it boosts, towards the way back it cuts."
    if place is None:
        return f"Shares its part of the band between the way in and the way back. {seesaw}"
    points = np.geomspace(30.0, 15000.0, 120)
    low, high = (
        20 * np.log10(np.abs(amplifier_gains(end, at_hz(points))[place]))
        for end in (replace(network, edges=end_shares(network, ref, bench, turn)) for turn in (0.0, 1.0))
    )
    most = int(np.argmax(np.abs(high - low)))
    return (
        f"Acts most around {hz(float(points[most]))}: {low[most]:+.1f} dB at 0, {high[most]:+.1f} dB at "
        f"10. {seesaw}"
    )


KIND = StageKind(
    kind=KIND_NAME,
    title="Tone control in the feedback loop",
    says="Boosts and cuts parts of the band by sharing them between the way in and the way back.",
    sources=(SOURCE, TEE_SOURCE),
    order=430,
    group="filter",
    roles={
        "amplifier": "answers what comes in with what must come back",
        "tone knob": "shares a band between the way in and the way back",
        "tone resistor": "sets how far a knob can boost and cut",
        "tone capacitor": "picks the band a knob moves",
        "tone inductor": "picks the band a knob moves",
        "input resistor": "brings the signal in",
        "input inductor": "brings the signal in",
        "dc-blocking capacitor": "keeps resting voltages apart",
        "feedback resistor": "leads the output back",
        "feedback capacitor": "steadies the amplifier",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=EXAMPLES,
    near_misses=NEAR_MISSES,
)
