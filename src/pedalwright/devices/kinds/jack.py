"""A jack: where a cable goes in. Tip carries the signal, sleeve the ground.

A plug opens the `switch` contact, which rests against the tip when the jack is empty. A jack with a ring is
often used to switch the battery: a two-pole plug joins ring to sleeve. The circuit is computed with its
plugs in.
"""

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Primitive, Short
from pedalwright.devices.device import Device, Pin, Worked, is_unused

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


WORKED = (
    Worked(
        text=(
            "supply V 9V wall\n"
            "part J1 jack tip=IN ring=A\n"
            "V > R1 10k > A\n"
        ),
        volts={"A": 0.0},
        within_v=1e-09,
        source="a two-pole plug joins ring and sleeve (common practice, no source)",
    ),
)

DEVICE = Device(
    kind="jack",
    title="Jack",
    says="where a cable goes in",
    letters=("J",),
    family="jack",
    pins=PINS,
    expand=_expand,
    worked=WORKED,
    page=__doc__ or "",
)
