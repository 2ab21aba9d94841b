"""One echo chip at rest: what its time pin sees, the delay that makes, and what goes with that delay.

The clock follows the current drawn out of pin 6. Seen from the pin, whatever hangs there (a resistor, a
knob, a transistor, a voltage behind a resistor) counts as the resistance that would draw the same current:
V6 over I6.
"""

from dataclasses import dataclass
from enum import Enum

import numpy as np

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Capacitance, Primitive
from pedalwright.echo import delay_law
from pedalwright.echo.figures import value
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.rest import OperatingPoint, OperatingPoints

SUPPLY, DIGITAL_GROUND, TIME = "1", "4", "6"
CODER_OUT, CODER_IN = "9", "10"


class Start(Enum):
    """Whether the clock starts when the supply comes."""

    SURE = "sure to start"
    RISKY = "below the 2 kohm of the trade: may fail to start"
    FAILS = "below the maker's 1 kohm: may not start at all"
    HELPED = "a start-up transistor raises the resistance at switch-on"


@dataclass(frozen=True, slots=True, kw_only=True)
class ChipState:
    """One chip with the knobs as they stand, typical part at its solved supply.

    `low_s` and `high_s` hold the spread from chip to chip and what the supply does. `slope_v_per_s` is
    None without an integrator capacitor. Noise and distortion are those at `delay_s`.
    """

    ref: str
    delay_s: float
    low_s: float
    high_s: float
    within_table: bool
    clock_hz: float
    bit_rate: float
    noise_dbv: float
    distortion_percent: float
    slope_v_per_s: float | None
    supply_v: float
    time_pin_v: float
    time_pin_a: float
    time_ohms: float
    start: Start
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, eq=False)
class TimePinReading:
    """Voltage, current out of the pin, and the resistance that would draw it; arrays (variants,)."""

    volts: FloatArray
    amperes: FloatArray
    ohms: FloatArray

    @property
    def delay_s(self) -> FloatArray:
        """Typical delay; nan where the pin draws no current."""
        return delay_law.delay_s(self.ohms)


def time_pin(chip: Part, rest: OperatingPoint | OperatingPoints) -> TimePinReading:
    """What the time pin sees at one rest point or many. Raises NotCertified for one that is not certified."""
    supply, pin, ground = (
        np.atleast_1d(rest.volts(chip.net(name))) for name in (SUPPLY, TIME, DIGITAL_GROUND)
    )
    amperes = ((supply + ground) / 2 - pin) / value("time_pin_ohms")
    return reading(pin - ground, amperes)


def reading(volts: FloatArray, amperes: FloatArray) -> TimePinReading:
    """The same from voltage across and current out of the pin."""
    with np.errstate(all="ignore"):
        ohms = np.where(amperes > 0, volts / amperes, np.nan)
    return TimePinReading(volts=volts, amperes=amperes, ohms=np.asarray(ohms))


def chip_state(
    chip: Part,
    rest: OperatingPoint,
    primitives: tuple[Primitive, ...],
    *,
    least_ohms: float | None = None,
    starts_slowly: bool = False,
) -> ChipState:
    """The state of a chip at rest. Raises NotCertified.

    `least_ohms` is the least resistance at the time pin over the travel of the knobs (now, when None);
    `starts_slowly` tells that a start-up transistor was recognised.
    """
    seen = time_pin(chip, rest)
    ohms = float(seen.ohms[0])
    supply_v = rest.volts(chip.net(SUPPLY)) - rest.volts(chip.net(DIGITAL_GROUND))
    delay = float(seen.delay_s[0])
    shift = float(delay_law.supply_shift_s(supply_v))
    spread = value("unit_spread")
    farads = integrator_farads(chip, primitives)
    start = _start(ohms if least_ohms is None else least_ohms, starts_slowly=starts_slowly)
    return ChipState(
        ref=chip.ref,
        delay_s=delay,
        low_s=delay * (1 - spread) - shift,
        high_s=delay * (1 + spread) + shift,
        within_table=bool(delay_law.within_table(ohms)),
        clock_hz=float(delay_law.clock_hz(delay)),
        bit_rate=float(delay_law.bits_per_s(delay)),
        noise_dbv=float(delay_law.noise_dbv(delay)),
        distortion_percent=float(delay_law.distortion_percent(delay)),
        slope_v_per_s=delay_law.slope_v_per_s(farads) if farads else None,
        supply_v=supply_v,
        time_pin_v=float(seen.volts[0]),
        time_pin_a=float(seen.amperes[0]),
        time_ohms=ohms,
        start=start,
        remarks=_remarks(ohms, supply_v, delay),
    )


def integrator_farads(chip: Part, primitives: tuple[Primitive, ...]) -> float:
    """The capacitance straight across the coder's integrator."""
    ends = {chip.net(CODER_OUT), chip.net(CODER_IN)}
    return sum(one.farads for one in primitives if isinstance(one, Capacitance) and {one.a, one.b} == ends)


def _start(ohms: float, *, starts_slowly: bool) -> Start:
    if starts_slowly:
        return Start.HELPED
    if ohms < value("least_start_ohms"):
        return Start.FAILS
    return Start.RISKY if ohms < value("safe_start_ohms") else Start.SURE


def _remarks(ohms: float, supply_v: float, delay: float) -> tuple[str, ...]:
    found = []
    if not np.isfinite(ohms):
        found.append("Pin 6 draws no current here: the clock stands still and there is no echo.")
    elif not delay_law.within_table(ohms):
        found.append("This delay is beyond the maker's table; it is what the fitted law says.")
    if supply_v > value("destructive_supply_v"):
        found.append(f"{supply_v:.1f} V destroy the chip: above 6.5 V it dies (data sheet).")
    elif not value("least_supply_v") <= supply_v <= value("most_supply_v"):
        found.append(f"{supply_v:.2f} V are outside the 4.5 to 5.5 V of the data sheet.")
    if delay > value("ugly_delay_s"):
        found.append("Past a second the sound turns ugly (common practice, no source).")
    elif ohms > value("most_time_ohms"):
        found.append("Above 50 kohm at pin 6, about 630 ms, it gets noisy (common practice, no source).")
    return tuple(found)
