"""What a meter reads on a healthy echo chip beyond what its model can say, and how one chip differs from
another.

The model takes the chip's pins at rest; the stores (pins 7 and 8) and the clock (pin 5) hold a figure that
depends on the sound and on the meter. One complete set of readings of a working unit was found (2019, supply
4.97 V); the ranges of pins 5, 7 and 8 are a house proposal around it.
"""

from collections.abc import Callable, Mapping

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.part import Part
from pedalwright.devices.device import is_unused
from pedalwright.devices.kinds.echo_chip import FIGURES
from pedalwright.solve.arrays import FloatArray

REFERENCE_SHARE = 0.02
"""either way of pin 2 against half of pin 1 (house figure)"""
PROCESS_SHARE = 0.2
"""either way of all resistances inside a chip together (house figure)"""
STORE_V = (0.5, 1.2)
"""pins 7 and 8 at 5 V (house proposal around one published reading, 0.92 and 0.93 V)"""
STORE_APART = 0.05
"""how far pins 7 and 8 are from each other (house figure)"""
CLOCK_SHARES = (0.46, 0.53, 0.56)
"""pin 5 against pin 1: a square wave, averaged by the meter; one published reading, 2.66 V of 4.97 V"""
DRAW_SHARES = (0.7, 1.0, 2.0)
"""of the supply current against the typical 15 mA; the sheet's largest is 30 mA"""
SUPPLY, REFERENCE, ANALOGUE_GROUND, DIGITAL_GROUND, CLOCK, TIME = "1", "2", "3", "4", "5", "6"
STORES = ("7", "8")
HALVES = ("2", "9", "10", "11", "12", "13", "14", "15", "16")
GROUND_V = 0.05
"""a ground pin may read this much; one working unit had 0.05 V on pin 4"""
PROPOSED = "a house proposal around one published reading of a working unit, 2019"


FACTS: Mapping[str, tuple[str, ...]] = {
    SUPPLY: ("above 5.5 V: regulator turned round or missing; the chip is in danger, and dies above 6.5 V",),
    REFERENCE: ("low: the capacitor on pin 2 leaks or is turned round",),
    ANALOGUE_GROUND: ("above 0.02 V: a bad ground joint",),
    DIGITAL_GROUND: ("above 0.05 V: a bad ground joint",),
    CLOCK: (
        "steady at 0 V or at 5 V: the clock has stopped (lock-up, or a bridge to pin 6)",
        "a meter averages a square wave here, and meters differ",
    ),
    TIME: (
        "0 V: shorted to ground, and the clock may not start",
        "as much as pin 2: the timing resistance is open, and no echo comes",
    ),
    "7": ("far from pin 8: its capacitor is missing, or a fault in the decoder",),
    "8": ("far from pin 7: its capacitor is missing, or a fault in the coder",),
    **dict.fromkeys(
        ("9", "10", "11", "12"), ("at a rail: an integrator capacitor shorted, a joint open, or lock-up",)
    ),
}
"""by pin: what a wrong reading means, whatever circuit the chip is in"""

Even = Callable[[str], FloatArray]
"""evenly spread from -1 to 1 for a name, the first 0"""


def chip_spreads(analysis: Analysis, chip: Part, even: Even) -> Mapping[str, FloatArray]:
    """The values inside one chip in every build, by name."""
    ref, found = chip.ref, dict[str, FloatArray]()
    process = 1 + PROCESS_SHARE * even(f"{ref} process")
    for word, share in (("reference", REFERENCE_SHARE), ("time", REFERENCE_SHARE)):
        middle = 0.5 * (1 + share * even(f"{ref} reference"))
        ohms = 4 * FIGURES["reference_ohms" if word == "reference" else "time_pin_ohms"].value
        found |= _divided(f"{ref}/{word}", ohms * process, middle)
    typical = FIGURES["store_v"].value / FIGURES["store_supply_v"].value
    lowest, highest = (volts / FIGURES["nominal_supply_v"].value for volts in STORE_V)
    for word, pin in (("decoder-store", "7"), ("coder-store", "8")):
        if not is_unused(chip, pin):
            level = _between(even(f"{ref} stores"), lowest, highest, typical)
            level = level * (1 + STORE_APART / 2 * even(f"{ref} {word}"))
            found |= _divided(f"{ref}/{word}", FIGURES["store_ohms"].value / (level * (1 - level)), level)
    low, _, high = CLOCK_SHARES
    found |= _divided(
        f"{ref}/clock",
        4 * FIGURES["clock_ohms"].value * process,
        _between(even(f"{ref} clock"), low, high, 0.5),
    )
    shares = _between(even(f"{ref} draw"), DRAW_SHARES[0], DRAW_SHARES[2], DRAW_SHARES[1])
    found[f"{ref}/supply.dc_a"] = _draw_a(analysis, ref) * shares
    return found


def _divided(name: str, total: FloatArray, share: FloatArray) -> Mapping[str, FloatArray]:
    """The halves of a divider of `total` ohms that puts `share` of the supply on its pin."""
    return {f"{name}-upper": np.asarray(total * (1 - share)), f"{name}-lower": np.asarray(total * share)}


def _between(u: FloatArray, low: float, high: float, middle: float) -> FloatArray:
    return np.asarray(np.where(u < 0, middle + u * (middle - low), middle + u * (high - middle)))


def _draw_a(analysis: Analysis, ref: str) -> float:
    found = (one for one in analysis.primitives if one.name == f"{ref}/supply")
    return next((float(getattr(one, "dc_a", 0.0)) for one in found), 0.0)
