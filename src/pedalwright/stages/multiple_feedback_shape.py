"""The shape all multiple-feedback filters share: one inner net with two ways back, and one branch across
the amplifier.
"""

from dataclasses import dataclass

import numpy as np

from pedalwright.circuit.circuit import GROUND
from pedalwright.formulas.multiple_feedback import response
from pedalwright.stages.amplifier_shape import edges_at, negative_inner, stiff_transfer
from pedalwright.stages.branch import Branch, sorts
from pedalwright.stages.network import AmplifierNetwork
from pedalwright.stages.stage import ComplexArray, Stage, Transfer

SOURCE = "T. Kugelstadt in R. Mancini (ed.), Op Amps for Everyone, ch. 16 (multiple-feedback topology)"


@dataclass(frozen=True, slots=True, kw_only=True)
class MultipleFeedback:
    """The branches at the inner net (inputs, to output, to amplifier, shunt or None) and the one across."""

    nets: tuple[str, ...]
    inputs: tuple[Branch, ...]
    to_output: Branch
    to_amplifier: Branch
    shunt: Branch | None
    across: Branch

    def are(self, *, to_output: str, to_amplifier: str, across: str) -> bool:
        """True when the three branches of the loop are made of these sorts alone."""
        wanted = ((self.to_output, to_output), (self.to_amplifier, to_amplifier), (self.across, across))
        return all(sorts(branch) == {sort} for branch, sort in wanted)

    def branches(self) -> dict[str, tuple[Branch, ...]]:
        """The same under the names stages carry."""
        shunt = () if self.shunt is None else (self.shunt,)
        return {
            "input": self.inputs,
            "to output": (self.to_output,),
            "to amplifier": (self.to_amplifier,),
            "shunt": shunt,
            "across": (self.across,),
        }


def multiple_feedback(network: AmplifierNetwork) -> MultipleFeedback | None:
    """The shape around an amplifier, or None."""
    amp = network.amplifier
    inner = negative_inner(network)
    if not network.non_still or len(inner) != 1 or amp.inv == amp.out:
        return None
    around = edges_at(network, inner[0])
    across = network.joined(amp.inv, amp.out)
    to_output, to_amplifier = around.get(amp.out, ()), around.get(amp.inv, ())
    shunt = around.get(GROUND, ())
    nets = tuple(net for net in network.inputs if net in around)
    at_amplifier = {edge.other(amp.inv) for edge in network.touching(amp.inv)}
    if across is None or at_amplifier != {amp.out, inner[0]} or not nets or set(nets) != set(network.inputs):
        return None
    if len(to_output) != 1 or len(to_amplifier) != 1 or len(shunt) > 1:
        return None
    return MultipleFeedback(
        nets=nets,
        inputs=tuple(around[net][0] for net in nets),
        to_output=to_output[0],
        to_amplifier=to_amplifier[0],
        shunt=shunt[0] if shunt else None,
        across=across,
    )


def multiple_feedback_transfer(stage: Stage) -> Transfer:
    """-y1 y3 / (y5 Sum + y3 y2) per input."""

    def siemens(name: str, s: ComplexArray) -> list[ComplexArray]:
        return [1.0 / branch.impedance(s) for branch in stage.branches[name]]

    def gains(s: ComplexArray) -> tuple[ComplexArray, ...]:
        each = siemens("input", s)
        return tuple(
            response(
                input_y=each[place],
                feedback_y=siemens("to output", s)[0],
                inverting_y=siemens("to amplifier", s)[0],
                bridging_y=siemens("across", s)[0],
                other_y=sum((*each[:place], *each[place + 1 :], *siemens("shunt", s)), np.zeros_like(s)),
            )
            for place in range(len(each))
        )

    formula = "H = -y1 y3 / (y5 (y1 + y2 + y3 + y4) + y3 y2)"
    return stiff_transfer(stage, gains, formula=formula, source=SOURCE)


def farads_of(branch: Branch) -> float:
    """The capacitance of a branch of capacitors, in series or side by side, in farads."""
    one_rad_per_s = np.array([1j])
    return float((1.0 / branch.impedance(one_rad_per_s)[0]).imag)
