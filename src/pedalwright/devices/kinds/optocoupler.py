"""An optocoupler with a light-dependent resistor: a lamp and a cell in one dark box.

It serves tremolo and soft switching. The brighter the lamp, the lower the cell's resistance, and it follows
slowly: milliseconds to fall, tenths of a second to rise. No two agree within a factor of two. The cell is a
plain resistor for the sound, so at rest a circuit is computed for one brightness: write the cell's resistance
there as `ohms=`. In time the cell follows its lamp. `cell_ohms` guesses it from the lamp current by a
remembered law: about 1 kohm at 5 mA, rising as the current falls, with megohms in the dark.
"""

import math

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Primitive, Resistance
from pedalwright.devices.device import Device, Pin, Worked
from pedalwright.devices.kinds._diode import junction_and_series
from pedalwright.devices.kinds._led_cards import TYPES as LAMPS
from pedalwright.devices.part_facts import Sentences, option_mistakes, option_number
from pedalwright.units.values import Quantity

PINS = (
    Pin(name="led+", aliases=("anode",), says="anode of the lamp"),
    Pin(name="led-", aliases=("cathode",), says="cathode of the lamp"),
    Pin(name="r1", says="one end of the cell"),
    Pin(name="r2", says="other end of the cell"),
)
KNOWN_OHMS, KNOWN_A, SLOPE, DARK_OHMS = 1e3, 5e-3, 0.85, 10e6
"""A point of the cell's law, its exponent, and its resistance in the dark (from memory)."""
BRIGHTEST_A, DIMMEST_A = 20e-3, 10e-6
FALLING_S, RISING_S = 5e-3, 60e-3
"""Time constants of the logarithm of the cell's resistance, towards the light and towards the dark (from
memory: sheets tell a few milliseconds one way and tens to hundreds the other)."""


def cell_ohms(lamp_a: float) -> float:
    """Resistance [ohm] of the cell at a lamp current [A] of 10 uA to 20 mA, after it has settled; good to a
    factor of two.

    Raises ValueError outside that range. From memory.

    >>> round(cell_ohms(5e-3))
    1000
    """
    if not DIMMEST_A <= lamp_a <= BRIGHTEST_A:
        raise ValueError(f"{lamp_a} A is outside the cell's known range, {DIMMEST_A} to {BRIGHTEST_A} A")
    lit_siemens = 1 / KNOWN_OHMS * math.pow(lamp_a / KNOWN_A, SLOPE)
    return 1 / (lit_siemens + 1 / DARK_OHMS)


def _expand(part: Part) -> tuple[Primitive, ...]:
    lamp = LAMPS["red"]
    anode_to_cathode = Part(
        ref=f"{part.ref}/lamp", kind="led", span=part.span,
        pins=(("1", part.net("led+")), ("2", part.net("led-"))),
    )  # fmt: skip
    ohms = option_number(part, "ohms", Quantity.RESISTANCE) or DARK_OHMS
    return (
        Resistance(owner=part.ref, name=part.ref, a=part.net("r1"), b=part.net("r2"), ohms=ohms),
        *junction_and_series(
            anode_to_cathode, lamp["saturation_a"].value, lamp["emission"].value, lamp["series_ohms"].value
        ),
    )


def _check(part: Part) -> tuple[Sentences, ...]:
    if not part.option("ohms"):
        what = f"{part.ref} does not say the resistance of its cell."
        why = "The sound is computed for one brightness of the lamp."
        return ((what, why, f"Add ohms=10k to the line of {part.ref}."),)
    return option_mistakes(part, {"ohms": Quantity.RESISTANCE})


WORKED = (
    Worked(
        text=(
            "supply V 9V wall\n"
            "part U1 optocoupler led+=A led-=gnd r1=V r2=B ohms=10k\n"
            "V > R1 340 > A\n"
            "B > R2 10k > gnd\n"
        ),
        volts={"A": 2.2, "B": 4.5},
        within_v=0.0001,
        source="Ohm's law; lamp as a red light-emitting diode",
    ),
)

DEVICE = Device(
    kind="optocoupler",
    title="Optocoupler with a light-dependent resistor",
    says="a lamp that lowers a resistance",
    letters=("U",),
    family="optocoupler",
    pins=PINS,
    expand=_expand,
    check=_check,
    options={"ohms": "resistance of the cell at the brightness of interest"},
    worked=WORKED,
    page=__doc__ or "",
)
