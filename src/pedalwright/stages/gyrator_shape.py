"""The shape of a one-amplifier gyrator: a follower whose input hears the port through a capacitor, and
whose output pulls at it.
"""

from pedalwright.circuit.circuit import GROUND
from pedalwright.stages.branch import Branch, sorts
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
