"""A jack: where a cable goes in. Tip carries the signal, sleeve the ground.

A plug opens the `switch` contact, which rests against the tip when the jack is empty. A jack with a ring is
often used to switch the battery: a two-pole plug joins ring to sleeve. The circuit is computed with its
plugs in.
"""

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Primitive, Short
from pedalwright.devices.device import Device, Pin, is_unused

PINS = (
    Pin(name="tip", says="signal"),
    Pin(name="sleeve", default="gnd", says="ground"),
    Pin(name="ring", says="joined to the sleeve by a two-pole plug"),
    Pin(name="switch", says="joined to the tip while no plug is in"),
)


def _expand(part: Part) -> tuple[Primitive, ...]:
    if is_unused(part, "ring"):
        return ()
    return (Short(owner=part.ref, name=part.ref, a=part.net("ring"), b=part.net("sleeve")),)


DEVICE = Device(
    kind="jack",
    title="Jack",
    says="where a cable goes in",
    letters=("J",),
    family="jack",
    pins=PINS,
    expand=_expand,
    page=__doc__ or "",
)
