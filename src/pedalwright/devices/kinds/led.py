"""A light-emitting diode: shows that the pedal is on, and clips audio at a higher voltage than silicon.

The colour sets the forward voltage: about 2 V for red, yellow and green, 3.2 V for blue and white. It needs
a series resistor: straight across a supply it burns out. It stands only about 5 V backwards. Do not look
into bright types.

Each card is fixed by the forward voltage at 20 mA (its source is named) and a remembered emission and
series resistance that give the usual voltage at 1 mA; between makers of one colour expect 0.2 V of
difference.
"""

from pedalwright.devices.device import Device, Worked
from pedalwright.devices.kinds._diode import CARD_OPTIONS, check_of, diode_of
from pedalwright.devices.kinds._diode_ratings import LED
from pedalwright.devices.kinds._led_cards import TYPES
from pedalwright.devices.two_pin import DIODE

WORKED = (
    Worked(
        text=(
            "supply V 9V wall\n"
            "V > R1 340 > A > D1 red (led) > gnd\n"
            "V > R2 290 > B > D2 blue (led) > gnd\n"
        ),
        volts={"A": 2.2, "B": 3.2},
        within_v=0.0001,
        source="typical at 20 mA: Kingbright WP7113SEC/J3 (red), C503B sheet (blue)",
    ),
)

DEVICE = Device(
    kind="led",
    title="Light-emitting diode",
    says="lights up at about 2 V (red, yellow, green) or 3 V (blue, white)",
    letters=("D",),
    family="diode",
    pins=DIODE,
    figures=LED,
    types=TYPES,
    default_type="red",
    expand=diode_of(TYPES, "red"),
    check=check_of(TYPES),
    options=CARD_OPTIONS,
    worked=WORKED,
    page=__doc__ or "",
)
