"""A capacitor: passes change and blocks standing voltage; couples stages, sets corners, steadies supplies.

The words in parentheses say what it is made of: film, ceramic, electrolytic or tantalum, and its rated
voltage (16V). Electrolytic and tantalum parts leak a little direct current and have a plus end: the left
end of the walk. A reversed or overvolted electrolytic heats up, vents or bursts; a reversed tantalum can
catch fire. Wear eye protection at the first power-up, check the plus end twice, and choose a rating well
above the voltage (16 V on a 9 V line).

Leakage: the usual sheet limit of a general-purpose aluminium part is 0.01 C V (microamperes, microfarads,
volts) after minutes at rated voltage (from memory); a part in use settles at about a tenth of it (common
practice, no source). A tenth of the limit is a resistance of 1000 s / C: 100 Mohm for 10 uF. `leak=` states
it in ohms instead. Series resistance: tan(delta) of 0.14 at 120 Hz (a 25 V part, from memory) means 1.9 ohm
for 100 uF. In the places pedals use these parts it changes nothing by one per cent, so it is modelled only
where `esr=` states it.
"""

import math

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Capacitance, Primitive, Resistance
from pedalwright.devices.device import Device, Worked
from pedalwright.devices.part_facts import option_number, value_check
from pedalwright.devices.two_pin import POLARISED
from pedalwright.units.values import Quantity, ValueMistake, parse_value

DIELECTRICS = ("film", "ceramic", "electrolytic", "tantalum")
POLARISED_DIELECTRICS = ("electrolytic", "tantalum")
LEAKAGE_SECONDS = 1000.0
"""Leakage resistance times capacitance of a formed electrolytic or tantalum part: see the page above."""
LOSS_TANGENT = 0.14
LOSS_TANGENT_HZ = 120.0
SMALLEST_FARADS, LARGEST_FARADS = 1e-13, 1.0


def dielectric(part: Part) -> str:
    """film, ceramic, electrolytic or tantalum as noted on the part, or an empty string."""
    return next((note.lower() for note in part.notes if note.lower() in DIELECTRICS), "")


def is_polarised(part: Part) -> bool:
    """True for a capacitor with a plus end."""
    return dielectric(part) in POLARISED_DIELECTRICS


def rated_v(part: Part) -> float | None:
    """The rated voltage noted on the part (16V), or None."""
    for note in part.notes:
        try:
            return parse_value(note, Quantity.VOLTAGE)
        except ValueMistake:
            continue
    return None


def leakage_ohms(part: Part) -> float | None:
    """The resistance its leakage amounts to, or None for a part that does not leak."""
    written = option_number(part, "leak", Quantity.RESISTANCE)
    if written is not None:
        return written
    return LEAKAGE_SECONDS / part.value if part.value and is_polarised(part) else None


def typical_series_ohms(farads: float) -> float:
    """Series resistance [ohm] at 120 Hz of an aluminium electrolytic: tan(delta)/(2 pi 120 Hz C).

    >>> round(typical_series_ohms(100e-6), 2)
    1.86
    """
    return LOSS_TANGENT / (2 * math.pi * LOSS_TANGENT_HZ * farads)


def _expand(part: Part) -> tuple[Primitive, ...]:
    a, b = part.nets
    series_ohms = option_number(part, "esr", Quantity.RESISTANCE)
    inner = f"{part.ref}/plate" if series_ohms else a
    found: list[Primitive] = [
        Capacitance(owner=part.ref, name=part.ref, a=inner, b=b, farads=part.value or 0.0)
    ]
    if series_ohms:
        found.append(Resistance(owner=part.ref, name=f"{part.ref}/series", a=a, b=inner, ohms=series_ohms))
    leak = leakage_ohms(part)
    if leak:
        found.append(Resistance(owner=part.ref, name=f"{part.ref}/leakage", a=inner, b=b, ohms=leak))
    return tuple(found)


WORKED = (
    Worked(
        text=(
            "supply V 9V wall\n"
            "V > R1 1M > A > C1 100n (film) > gnd\n"
        ),
        volts={"A": 9.0},
        within_v=0.001,
        source="no direct current passes",
    ),
    Worked(
        text=(
            "supply V 9V wall\n"
            "V > R1 1M > A > C1 10u (electrolytic, 16V) > gnd\n"
        ),
        volts={"A": 8.910891},
        within_v=0.0001,
        source="Ohm's law with 1000 s / 10 uF = 100 Mohm of leakage",
    ),
)

DEVICE = Device(
    kind="capacitor",
    title="Capacitor",
    says="a fixed capacitance: film, ceramic, electrolytic or tantalum",
    letters=("C",),
    family="capacitor",
    pins=POLARISED,
    value_of="capacitance",
    expand=_expand,
    check=value_check(
        Quantity.CAPACITANCE,
        SMALLEST_FARADS,
        LARGEST_FARADS,
        {"esr": Quantity.RESISTANCE, "leak": Quantity.RESISTANCE},
    ),
    options={"esr": "series resistance in ohms", "leak": "leakage resistance in ohms"},
    worked=WORKED,
    page=__doc__ or "",
)
