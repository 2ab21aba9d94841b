"""A fuse: a wire that melts when a fault draws too much. A resettable one grows hot and cools again.

Its value is the rated current. Cold it is a small resistance: at rated current a glass fuse drops about 0.1
V (from memory). Replace a fuse only with one of the same rating, after finding out why it blew.
"""

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Primitive, Resistance
from pedalwright.devices.device import Device, Worked
from pedalwright.devices.part_facts import option_number, value_check
from pedalwright.devices.two_pin import PLAIN
from pedalwright.units.values import Quantity

DROP_V = 0.1
"""drop of a cold fuse at its rated current (from memory)"""
SMALLEST_A, LARGEST_A = 0.01, 20.0


def _expand(part: Part) -> tuple[Primitive, ...]:
    a, b = part.nets
    ohms = option_number(part, "esr", Quantity.RESISTANCE) or DROP_V / (part.value or 1.0)
    return (Resistance(owner=part.ref, name=part.ref, a=a, b=b, ohms=ohms),)


WORKED = (
    Worked(
        text=(
            "supply V 9V wall\n"
            "V > F1 500mA > A > R1 17.8 > gnd\n"
        ),
        volts={"A": 8.9},
        within_v=1e-06,
        source="0.1 V at rated current (from memory)",
    ),
)

DEVICE = Device(
    kind="fuse",
    title="Fuse",
    says="opens when a fault draws too much current",
    letters=("F",),
    family="fuse",
    pins=PLAIN,
    value_of="current",
    expand=_expand,
    check=value_check(Quantity.CURRENT, SMALLEST_A, LARGEST_A, {"esr": Quantity.RESISTANCE}),
    options={"esr": "cold resistance in ohms"},
    worked=WORKED,
    page=__doc__ or "",
)
