"""A battery as a part: its plus is the left end of the walk; it stands behind its internal resistance.

Most circuits say `supply VIN 9V battery` instead, which also states how far the voltage falls. A battery in
a walk is for circuits where its minus goes somewhere special, such as the ring of the input jack. Never
charge a battery that is not made for it: a diode keeps the adaptor from doing so.
"""

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Primitive, Resistance, VoltageSource
from pedalwright.devices.device import Device, Worked
from pedalwright.devices.part_facts import Sentences, option_mistakes, option_number, value_mistakes
from pedalwright.devices.ports import BATTERY_OHMS
from pedalwright.devices.two_pin import POLARISED
from pedalwright.units.values import Quantity

LOWEST_V, HIGHEST_V = 0.5, 48.0


def _expand(part: Part) -> tuple[Primitive, ...]:
    plus, minus = part.nets
    cell = f"{part.ref}/cell"
    ohms = option_number(part, "esr", Quantity.RESISTANCE) or BATTERY_OHMS
    return (
        VoltageSource(owner=part.ref, name=part.ref, plus=cell, minus=minus, dc_v=part.value or 0.0),
        Resistance(owner=part.ref, name=f"{part.ref}/internal", a=cell, b=plus, ohms=ohms),
    )


def _check(part: Part) -> tuple[Sentences, ...]:
    return (
        *value_mistakes(part, Quantity.VOLTAGE, LOWEST_V, HIGHEST_V),
        *option_mistakes(part, {"esr": Quantity.RESISTANCE}),
    )


WORKED = (
    Worked(
        text=(
            "A > BT1 9V > gnd\n"
            "A > R1 88 > gnd\n"
        ),
        volts={"A": 8.8},
        within_v=1e-06,
        source="Ohm's law with 2 ohm inside",
    ),
)

DEVICE = Device(
    kind="battery",
    title="Battery",
    says="a voltage behind an internal resistance",
    letters=("BT",),
    family="source",
    pins=POLARISED,
    value_of="voltage",
    expand=_expand,
    check=_check,
    options={"esr": "internal resistance in ohms"},
    worked=WORKED,
    page=__doc__ or "",
)
