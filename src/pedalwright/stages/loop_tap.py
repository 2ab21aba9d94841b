"""A small resistor between an amplifier and its output net, inside the loop: the signal leaves behind it.

The amplifier makes up for what the resistor drops, so the gain is that of the plain amplifier; the resistor
keeps a cable's capacitance from making the loop unsteady.
"""

from dataclasses import replace

from pedalwright.stages.branch import Leaf
from pedalwright.stages.nets import NetClasses
from pedalwright.stages.network import AmplifierNetwork, network_of
from pedalwright.stages.view import Amplifier, View

INSIDE = "inside"
"""the branch of a stage that holds the resistor, and the capacitor past it"""
LARGEST_OHMS = 1000.0
"""a larger resistor before the point where feedback is taken costs too much swing (house rule)"""


def tapped(view: View, classes: NetClasses, network: AmplifierNetwork) -> AmplifierNetwork:
    """The plain network with the net behind the resistor as its output, when there is one; else the same."""
    amp = network.amplifier
    resistor = _resistor_inside(view, classes, amp)
    if resistor is None:
        return network
    inside = tuple(leaf for leaf in view.on(amp.out) if leaf.sort in "RC")
    found = network_of(view, classes, replace(amp, out=resistor.other(amp.out)))
    inner = [net for net in found.inner if net != amp.non]
    closed = found.amplifier.inv == found.amplifier.out or found.feedback is not None
    plain = closed and not inner and not found.has_positive_feedback
    return replace(found, inside=inside) if plain else network


def _resistor_inside(view: View, classes: NetClasses, amp: Amplifier) -> Leaf | None:
    """The one resistor on an output that nothing but capacitors back to the inverting input share."""
    if amp.out == amp.inv or classes.is_still(amp.out) or amp.out in view.ports:
        return None
    if any(ref != amp.part.ref for ref, _ in view.active_pins.get(amp.out, ())):
        return None
    leaves = view.on(amp.out)
    onward = [leaf for leaf in leaves if not (leaf.sort == "C" and leaf.other(amp.out) == amp.inv)]
    if len(onward) != 1 or onward[0].sort != "R" or onward[0].variable or onward[0].value > LARGEST_OHMS:
        return None
    tap = onward[0].other(amp.out)
    further = [leaf for leaf in view.on(tap) if leaf is not onward[0]]
    used = bool(further) or tap in view.ports
    return onward[0] if used and not classes.is_still(tap) and tap != amp.non else None
