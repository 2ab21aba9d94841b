"""Cards of light-emitting diodes, by colour.

Each is fixed by the forward voltage at 20 mA, whose source is named, and a remembered slope.
"""

import math

from pedalwright.devices.device import Figure
from pedalwright.devices.part_facts import CARD_THERMAL_V, MEMORY, figures

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
