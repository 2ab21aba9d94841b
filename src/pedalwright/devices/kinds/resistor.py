"""A resistor: turns current into voltage and the other way round; sets gains, corners, bias and currents.

Carbon and metal film parts are plain ohms at every audio frequency. A resistor of 0R is a wire link. A
resistor that carries supply current gets warm: its rating (0.25 W for the usual size) must be at least
twice what it dissipates (common practice, no source); `watts=0.5W` states another.
"""

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Primitive, Resistance, Short
from pedalwright.devices.device import Device, Worked
from pedalwright.devices.part_facts import PRACTICE, Sentences, figures, option_mistakes, value_mistakes
from pedalwright.devices.two_pin import PLAIN
from pedalwright.units.values import Quantity

SMALLEST_OHMS, LARGEST_OHMS = 1e-3, 1e10
RATINGS = figures(PRACTICE, most_w=0.25)


def _expand(part: Part) -> tuple[Primitive, ...]:
    a, b = part.nets
    if not part.value:
        return (Short(owner=part.ref, name=part.ref, a=a, b=b),)
    return (Resistance(owner=part.ref, name=part.ref, a=a, b=b, ohms=part.value),)


def _check(part: Part) -> tuple[Sentences, ...]:
    mistakes = option_mistakes(part, {"watts": Quantity.POWER})
    if part.value == 0:
        return mistakes
    return (*value_mistakes(part, Quantity.RESISTANCE, SMALLEST_OHMS, LARGEST_OHMS), *mistakes)


WORKED = (
    Worked(
        text=(
            "supply V 60V wall\n"
            "V > R1 120 > OUT > R2 1k > gnd\n"
        ),
        volts={"OUT": 53.571},
        within_v=0.001,
        source="Boylestad and Nashelsky, example 15.6",
    ),
    Worked(
        text=(
            "supply V 9V wall\n"
            "V > R1 0R > A > R2 1k > gnd\n"
        ),
        volts={"A": 9.0},
        within_v=1e-09,
        source="a link has no drop",
    ),
)

DEVICE = Device(
    kind="resistor",
    title="Resistor",
    says="a fixed resistance; 0R is a wire link",
    letters=("R",),
    family="resistor",
    pins=PLAIN,
    value_of="resistance",
    figures=RATINGS,
    expand=_expand,
    check=_check,
    options={"watts": "heat it is made for; 0.25 W when nothing is written"},
    worked=WORKED,
    page=__doc__ or "",
)
