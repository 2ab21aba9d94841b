"""The T network in an amplifier's feedback: two arms in a row and a leg to ground from between them."""

from dataclasses import dataclass

from pedalwright.circuit.circuit import GROUND
from pedalwright.stages.amplifier_shape import edges_at, negative_inner
from pedalwright.stages.branch import Branch, sorts
from pedalwright.stages.network import AmplifierNetwork


@dataclass(frozen=True, slots=True, kw_only=True)
class Tee:
    """Arms from the inverting input and to the output, the leg, what lies across both arms, and the input
    branches.
    """

    first: Branch
    second: Branch
    shunt: Branch
    across: Branch | None
    nets: tuple[str, ...]
    inputs: tuple[Branch, ...]


def tee_of(network: AmplifierNetwork) -> Tee | None:
    """The T around an inverting amplifier, or None; its inputs lead straight to the inverting input."""
    amp = network.amplifier
    inner = negative_inner(network)
    if not network.non_still or len(inner) != 1 or amp.inv == amp.out:
        return None
    around = edges_at(network, inner[0])
    if set(around) != {amp.inv, amp.out, GROUND} or any(len(group) != 1 for group in around.values()):
        return None
    nets = tuple(network.inputs)
    inputs = tuple(branch for net in nets if (branch := network.joined(net, amp.inv)) is not None)
    if len(inputs) != len(nets) or network.shunt is not None:
        return None
    found = Tee(
        first=around[amp.inv][0],
        second=around[amp.out][0],
        shunt=around[GROUND][0],
        across=network.joined(amp.inv, amp.out),
        nets=nets,
        inputs=inputs,
    )
    across = () if found.across is None else (found.across,)
    parts = (found.first, found.second, found.shunt, *found.inputs, *across)
    resistive = all("R" in sorts(branch) for branch in (found.first, found.second, *found.inputs))
    return found if resistive and not any("D" in sorts(branch) for branch in parts) else None
