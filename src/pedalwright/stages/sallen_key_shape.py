"""The Sallen-Key shape: one inner net before the non-inverting input, a way from the output back to it."""

from dataclasses import dataclass, replace

import numpy as np

from pedalwright.circuit.circuit import GROUND
from pedalwright.formulas.amplifier import non_inverting_gain
from pedalwright.formulas.sallen_key import response
from pedalwright.formulas.star import star_gains, star_ohms
from pedalwright.stages.amplifier_shape import (
    FEEDBACK_WORDS,
    SHUNT_WORDS,
    Words,
    edges_at,
    negative_inner,
    stiff_transfer,
)
from pedalwright.stages.branch import Branch, sorts
from pedalwright.stages.network import AmplifierNetwork
from pedalwright.stages.stage import ComplexArray, Stage, Transfer
from pedalwright.stages.wording import plain_resistance, times

SOURCE = (
    "R. P. Sallen and E. L. Key, IRE Trans. Circuit Theory CT-2, 1955 (from memory); Op Amps for "
    "Everyone, ch. 16"
)
FILTER: Words = {
    "R": "filter resistor",
    "C": "filter capacitor",
    "L": "network part",
    "D": "network part",
    "knob": "frequency knob",
}
GAIN_WORDS: dict[str, Words] = {"feedback": FEEDBACK_WORDS, "shunt": SHUNT_WORDS}
GAIN_ROLES = {
    "feedback resistor": "sets the amplifier's gain",
    "feedback capacitor": "steadies the amplifier",
    "gain-setting resistor": "sets the amplifier's gain",
    "bass-corner capacitor": "lets the gain fall to one in the bass",
    "gain knob": "moves the amplifier's gain",
    "feedback inductor": "raises the gain in the treble",
    "gain-setting inductor": "lowers the gain in the treble",
}
"""what the parts around an amplifier of more than unity gain are for"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SallenKey:
    """The branches of the filter, and the divider that gives its amplifier more gain than one (or None)."""

    nets: tuple[str, ...]
    inputs: tuple[Branch, ...]
    onward: Branch
    ground: Branch
    back: Branch
    leak: Branch | None
    """from the inner net to a steady net: half of an input divider"""
    feedback: Branch | None
    shunt: Branch | None

    def branches(self) -> dict[str, tuple[Branch, ...]]:
        """The same under the names stages carry."""
        found = {
            "input": self.inputs,
            "onward": (self.onward,),
            "ground": (self.ground,),
            "back": (self.back,),
        }
        optional = {"leak": self.leak, "feedback": self.feedback, "shunt": self.shunt}
        return {**found, **{name: (branch,) for name, branch in optional.items() if branch is not None}}


def sallen_key(network: AmplifierNetwork) -> SallenKey | None:
    """The shape around an amplifier, or None."""
    amp = network.amplifier
    inner = [net for net in network.inner if network.between(net, amp.non)]
    if network.non_still or len(inner) != 1 or len(negative_inner(network)) != 1:
        return None
    middle = inner[0]
    around = edges_at(network, middle)
    onward, back, leak = (around.get(net, ()) for net in (amp.non, amp.out, GROUND))
    ground = network.joined(amp.non, GROUND)
    at_input = {edge.other(amp.non) for edge in network.touching(amp.non)}
    nets = tuple(net for net in network.inputs if net in around)
    if ground is None or at_input != {middle, GROUND} or len(onward) != 1 or len(back) != 1:
        return None
    if not nets or set(nets) != set(network.inputs) or not _gain_is_plain(network, middle):
        return None
    return SallenKey(
        nets=nets,
        inputs=tuple(around[net][0] for net in nets),
        onward=onward[0],
        ground=ground,
        back=back[0],
        leak=leak[0] if leak else None,
        feedback=None if amp.inv == amp.out else network.feedback,
        shunt=None if amp.inv == amp.out else network.shunt,
    )


def _gain_is_plain(network: AmplifierNetwork, middle: str) -> bool:
    """A follower, or a divider of resistors from output to ground at the inverting input."""
    amp = network.amplifier
    if amp.inv == amp.out:
        return True
    ends = {edge.other(amp.inv) for edge in network.touching(amp.inv)}
    feedback = network.feedback
    return ends <= {amp.out, GROUND} and feedback is not None and "D" not in sorts(feedback)


def has_resistor(branch: Branch) -> bool:
    """A resistor is in the branch, and no diode."""
    return "R" in sorts(branch) and "D" not in sorts(branch)


def sallen_key_transfer(stage: Stage) -> Transfer:
    """K y1 / (Sum - K y4 b ...) per input; a leak at the inner net counts as one more input at rest."""

    def gains(s: ComplexArray) -> tuple[ComplexArray, ...]:
        first = [
            branch.impedance(s) for branch in (*stage.branches["input"], *stage.branches.get("leak", ()))
        ]
        ratio = response(
            input_z=star_ohms(arm_ohms=first),
            middle_z=stage.branch("onward").impedance(s),
            ground_z=stage.branch("ground").impedance(s),
            feedback_z=stage.branch("back").impedance(s),
            gain=_amplifier_gain(stage, s),
        )
        shares = star_gains(arm_ohms=first)
        return tuple(share * ratio for share in shares[: len(stage.branches["input"])])

    formula = "H = K b y1 / (y1 + y2 (1 - b) + y4 (1 - K b)),  b = y2 / (y2 + y3)"
    return stiff_transfer(_without_idle(stage), gains, formula=formula, source=SOURCE)


def _without_idle(stage: Stage) -> Stage:
    """Feedback parts of a follower carry no current: they are no members of the formula."""
    if "shunt" in stage.branches:
        return stage
    return replace(
        stage, branches={name: group for name, group in stage.branches.items() if name != "feedback"}
    )


def _amplifier_gain(stage: Stage, s: ComplexArray) -> ComplexArray:
    if "shunt" not in stage.branches:
        return np.ones_like(s)
    return non_inverting_gain(stage.branch("feedback").impedance(s), stage.branch("shunt").impedance(s))


def middle_gain(stage: Stage) -> float:
    """Gain of the amplifier in the filter, as a plain ratio."""
    if "shunt" not in stage.branches:
        return 1.0
    return 1.0 + plain_resistance(stage.branch("feedback")) / plain_resistance(stage.branch("shunt"))


def gain_words(stage: Stage) -> dict[str, str]:
    """What the two resistors of the amplifier's own gain are for."""
    sets = f"Sets the gain of the amplifier in the filter, {times(middle_gain(stage))};"
    return {
        "feedback resistor": f"{sets} more gain is a higher Q.",
        "gain-setting resistor": f"{sets} smaller is a higher Q.",
    }


def together(branches: tuple[Branch, ...]) -> float:
    """Resistance of some branches side by side, capacitors in series shorted, in ohms."""
    return 1.0 / sum(1.0 / plain_resistance(branch) for branch in branches)
