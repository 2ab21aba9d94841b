"""A zener diode: conducts backwards at its stated voltage; holds a supply or a bias, or protects an input.

The cathode (the banded end, the right end of the walk) goes to the more positive side. It needs a series
resistor, and what it holds back turns into heat: volts times amperes must stay below its rating with
something to spare.

A bare voltage (5V1) means a half-watt part whose voltage holds at 5 mA; the 1N47xx types hold theirs at the
test current of their sheet. Below 5 V real zeners are much softer than this model far from that current.
"""

import math

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Primitive
from pedalwright.devices.device import Device, Figure, Worked
from pedalwright.devices.kinds._diode import junction_and_series
from pedalwright.devices.kinds._diode_ratings import ZENER_HALF_WATT, ZENER_ONE_WATT
from pedalwright.devices.part_facts import CARD_THERMAL_V, MEMORY, Sentences, figures, value_mistakes
from pedalwright.devices.two_pin import DIODE
from pedalwright.units.values import Quantity

SATURATION_A, EMISSION = 1e-14, 1.0
"""A textbook silicon junction: 0.71 V at 10 mA forward."""
BREAKDOWN_A = 1e-3
"""current of the solver's junction at its breakdown voltage"""
HALF_WATT_TEST_A = 0.005
HALF_WATT_SLOPE_OHMS = ((4.8, 80.0), (5.2, 40.0), (5.8, 15.0), (9.5, 6.0), (math.inf, 10.0))
"""Slope resistance at 5 mA up to each voltage, half-watt types (from memory)."""
LOWEST_V, HIGHEST_V = 2.0, 100.0

_ONE_WATT = {
    "1N4728": (3.3, 76e-3, 10.0), "1N4729": (3.6, 69e-3, 10.0), "1N4730": (3.9, 64e-3, 9.0),
    "1N4731": (4.3, 58e-3, 9.0), "1N4732": (4.7, 53e-3, 8.0), "1N4733": (5.1, 49e-3, 7.0),
    "1N4734": (5.6, 45e-3, 5.0), "1N4735": (6.2, 41e-3, 2.0), "1N4736": (6.8, 37e-3, 3.5),
    "1N4737": (7.5, 34e-3, 4.0), "1N4738": (8.2, 31e-3, 4.5), "1N4739": (9.1, 28e-3, 5.0),
    "1N4740": (10.0, 25e-3, 7.0), "1N4741": (11.0, 23e-3, 8.0), "1N4742": (12.0, 21e-3, 9.0),
    "1N4743": (13.0, 19e-3, 10.0), "1N4744": (15.0, 17e-3, 14.0), "1N4745": (16.0, 15.5e-3, 16.0),
    "1N4746": (18.0, 14e-3, 20.0), "1N4747": (20.0, 12.5e-3, 22.0),
}  # fmt: skip
"""Voltage, test current, slope resistance of the JEDEC one-watt series (from memory)."""


def _type(volts: float, test_a: float, slope_ohms: float) -> dict[str, Figure]:
    return figures(MEMORY, zener_v=volts, test_a=test_a, slope_ohms=slope_ohms)


TYPES = {name: _type(*facts) for name, facts in _ONE_WATT.items()}


def _facts(part: Part) -> tuple[float, float, float]:
    """Zener voltage, the current it holds at, and the slope resistance there."""
    if part.type in TYPES:
        card = TYPES[part.type]
        return card["zener_v"].value, card["test_a"].value, card["slope_ohms"].value
    volts = part.value or 0.0
    slope_ohms = next(ohms for up_to_v, ohms in HALF_WATT_SLOPE_OHMS if volts <= up_to_v)
    return volts, HALF_WATT_TEST_A, slope_ohms


def _expand(part: Part) -> tuple[Primitive, ...]:
    volts, test_a, slope_ohms = _facts(part)
    series_ohms = max(slope_ohms - CARD_THERMAL_V / test_a, 0.1)
    # The junction carries BREAKDOWN_A at breakdown_v and bends with kT/q: more current, more voltage.
    breakdown_v = volts - test_a * series_ohms - CARD_THERMAL_V * math.log(test_a / BREAKDOWN_A)
    return junction_and_series(part, SATURATION_A, EMISSION, series_ohms, breakdown_v)


def _check(part: Part) -> tuple[Sentences, ...]:
    if part.type in TYPES:
        return ()
    return value_mistakes(part, Quantity.VOLTAGE, LOWEST_V, HIGHEST_V)


WORKED = (
    Worked(
        text=(
            "supply V 12V wall\n"
            "V > R1 1380 > A\n"
            "gnd > D1 5V1 (zener) > A\n"
            "V > R2 140.816 > B\n"
            "gnd > D2 1N4733 > B\n"
        ),
        volts={"A": 5.1, "B": 5.1},
        within_v=0.001,
        source="stated voltage at the test current, 5 mA and 49 mA (from memory)",
    ),
)

DEVICE = Device(
    kind="zener-diode",
    title="Zener diode",
    says="conducts backwards at its stated voltage",
    letters=("D",),
    family="diode",
    pins=DIODE,
    figures=ZENER_HALF_WATT,
    types={name: {**ZENER_ONE_WATT, **card} for name, card in TYPES.items()},
    value_of="voltage",
    expand=_expand,
    check=_check,
    worked=WORKED,
    page=__doc__ or "",
)
