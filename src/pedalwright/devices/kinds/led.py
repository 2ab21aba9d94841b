"""A light-emitting diode: shows that the pedal is on, and clips audio at a higher voltage than silicon.

The colour sets the forward voltage: about 2 V for red, yellow and green, 3.2 V for blue and white. It needs
a series resistor: straight across a supply it burns out. It stands only about 5 V backwards. Do not look
into bright types.

Each card is fixed by the forward voltage at 20 mA (its source is named) and a remembered emission and
series resistance that give the usual voltage at 1 mA; between makers of one colour expect 0.2 V of
difference.
"""

import math

from pedalwright.devices.device import Device, Figure, Worked
from pedalwright.devices.kinds._diode import diode_of
from pedalwright.devices.part_facts import CARD_THERMAL_V, MEMORY, figures, known_type
from pedalwright.devices.two_pin import DIODE

CARD_A = 0.02


def _card(forward_v: float, source: str, emission: float, series_ohms: float) -> dict[str, Figure]:
    """The card that has `forward_v` at 20 mA and 300.15 K."""
    junction_v = forward_v - CARD_A * series_ohms
    saturation_a = CARD_A / math.exp(junction_v / (emission * CARD_THERMAL_V))
    return {
        **figures(f"forward voltage: {source}; slope: {MEMORY}", saturation_a=saturation_a),
        **figures(
            MEMORY, emission=emission, series_ohms=series_ohms, most_reverse_v=5.0, most_forward_a=0.02
        ),
        **figures(source, forward_v=forward_v),
    }


TYPES = {
    "red": _card(2.2, "Kingbright WP7113SEC/J3", 2.0, 15.0),
    "yellow": _card(2.1, MEMORY, 2.0, 10.0),
    "green": _card(2.2, MEMORY, 2.0, 12.0),
    "blue": _card(3.2, "C503B sheet", 2.5, 15.0),
    "white": _card(3.2, MEMORY, 2.5, 15.0),
}

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
    types=TYPES,
    default_type="red",
    expand=diode_of(TYPES, "red"),
    check=lambda part: known_type(part, TYPES),
    worked=WORKED,
    page=__doc__ or "",
)
