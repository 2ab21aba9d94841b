"""The shape of a one-amplifier gyrator: a follower whose input hears the port through a capacitor, and
whose output pulls at it.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import cast

from pedalwright.circuit.circuit import GROUND
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch, ComplexArray, Leaf, sorts
from pedalwright.stages.edges import Edge
from pedalwright.stages.network import AmplifierNetwork
from pedalwright.stages.view import View


def gyrator_parts(network: AmplifierNetwork) -> tuple[str, Branch, Branch, Branch] | None:
    """Port, capacitor to the input, resistor from there to a steady net, resistor from output to port; or
    None.
    """
    amp = network.amplifier
    if amp.inv != amp.out or network.non_still or len(network.inner) > 1:
        return None
    ground = network.joined(amp.non, GROUND)
    at_input = {edge.other(amp.non) for edge in network.touching(amp.non)} - {GROUND}
    if ground is None or len(at_input) != 1:
        return None
    port = at_input.pop()
    store, line = network.joined(port, amp.non), network.joined(port, amp.out)
    if store is None or line is None or sorts(store) != {"C"}:
        return None
    if sorts(ground) != {"R"} or sorts(line) != {"R"}:
        return None
    return port, store, ground, line


def is_gyrator(view: View, network: AmplifierNetwork) -> bool:
    """The shape, and nothing listens to the amplifier's output but its own resistor."""
    parts = gyrator_parts(network)
    if parts is None:
        return False
    amp = network.amplifier
    own = {leaf.name for leaf in parts[3].leaves()}
    listening = [
        other for other in view.amplifiers if other.ref != amp.ref and amp.out in (other.non, other.inv)
    ]
    controls = {item.control for item in view.transistors}
    only = all(leaf.name in own for leaf in view.on(amp.out))
    return only and not listening and amp.out not in controls and amp.out != view.output_net


@dataclass(frozen=True, slots=True)
class PortImpedance:
    """What a gyrator's port shows to the circuit outside, from its own three branches."""

    store: Branch
    ground: Branch
    line: Branch

    @property
    def links(self) -> tuple[Branch, ...]:
        """The branch through which direct current passes: what asks whether signals pass looks here."""
        return (self.line,)

    def leaves(self) -> Iterator[Leaf]:
        """No part of the stage outside."""
        return iter(())

    def impedance(self, s: ComplexArray) -> ComplexArray:
        """Ohms: the capacitor's way to ground, beside the line whose far end copies the follower's input."""
        down = self.store.impedance(s) + self.ground.impedance(s)
        copy = self.ground.impedance(s) / down
        return 1.0 / (1.0 / down + (1.0 - copy) / self.line.impedance(s))


def with_coils(bench: Bench, network: AmplifierNetwork) -> AmplifierNetwork:
    """The network with every gyrator on one of its inputs put in as the impedance of its port."""
    edges, inputs = list(network.edges), list(network.inputs)
    for other in bench.networks.values():
        parts = gyrator_parts(other)
        if parts is not None and parts[0] in inputs and is_gyrator(bench.view, other):
            port, store, ground, line = parts
            edges.append(Edge(port, GROUND, cast(Branch, PortImpedance(store, ground, line))))
            inputs.remove(port)
    return replace(network, edges=tuple(edges), inputs=tuple(inputs))


def main_input(bench: Bench, network: AmplifierNetwork) -> int | None:
    """The place of the input that carries the signal; None when another input is not driven."""
    given = {amp.out for amp in bench.view.amplifiers} | {bench.view.input_net}
    given |= {net for item in bench.view.transistors for net in (item.top, item.bottom)}
    places = [place for place, net in enumerate(network.inputs) if net in given]
    if len(network.inputs) == 1:
        return 0
    return places[0] if places and len(places) == len(network.inputs) else None
