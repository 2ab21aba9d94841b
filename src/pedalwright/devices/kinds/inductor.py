"""An inductor: a coil that resists change of current; in pedals the heart of passive resonant tone filters.

Its wire has a resistance that sets how sharp the resonance can be: write it as `esr=` in ohms (audio coils of
half a henry have some tens of ohms; from memory). Without it the coil is modelled as perfect.
"""

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Inductance, Primitive, Resistance
from pedalwright.devices.device import Device, Worked
from pedalwright.devices.part_facts import option_number, value_check
from pedalwright.devices.two_pin import PLAIN
from pedalwright.units.values import Quantity

SMALLEST_HENRIES, LARGEST_HENRIES = 1e-9, 1e3


def _expand(part: Part) -> tuple[Primitive, ...]:
    a, b = part.nets
    wire_ohms = option_number(part, "esr", Quantity.RESISTANCE)
    inner = f"{part.ref}/wire" if wire_ohms else a
    coil = Inductance(owner=part.ref, name=part.ref, a=inner, b=b, henries=part.value or 0.0)
    if not wire_ohms:
        return (coil,)
    return (coil, Resistance(owner=part.ref, name=f"{part.ref}/wire", a=a, b=inner, ohms=wire_ohms))


WORKED = (
    Worked(
        text=(
            "supply V 9V wall\n"
            "V > R1 90 > A > L1 500m (esr=10) > gnd\n"
        ),
        volts={"A": 0.9},
        within_v=1e-06,
        source="Ohm's law: at rest a coil is its wire",
    ),
)

DEVICE = Device(
    kind="inductor",
    title="Inductor",
    says="a coil",
    letters=("L",),
    family="inductor",
    pins=PLAIN,
    value_of="inductance",
    expand=_expand,
    check=value_check(Quantity.INDUCTANCE, SMALLEST_HENRIES, LARGEST_HENRIES, {"esr": Quantity.RESISTANCE}),
    options={"esr": "resistance of the wire in ohms"},
    worked=WORKED,
    page=__doc__ or "",
)
