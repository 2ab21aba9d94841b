"""From the resistance at pin 6 to delay, clock, distortion and noise: the maker's table, and fitted laws
beyond it.

All take numbers or arrays and give arrays of the same shape (zero-dimensional for a number).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pedalwright.devices.kinds.echo_chip import DELAY_TABLE
from pedalwright.echo.figures import SHIFT_MARK, SUPPLY_SHIFT_S, TEMPERATURE_SHIFT_S, Mark, value

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

_OHMS, _CLOCK_HZ, _DELAY_S, _DISTORTION = np.array(sorted(DELAY_TABLE)).T
LEAST_OHMS, MOST_OHMS = float(_OHMS[0]), float(_OHMS[-1])
ROUNDING = 1e-9
NOMINAL_WITHIN_V = 0.005
"""a supply this near 5 V reads 5.00 V, and moves the delay by less than 0.1 ms"""
JOINT = 2.0
"""At this multiple of the table's last resistance the fitted law holds alone; from the last row to there
the law is led in straight, for at that row it is 4.0 ms (1.2 %) above the table, and a delay must not
jump.
"""

CORNERS_OHMS = (*(float(ohms) for ohms in _OHMS), JOINT * MOST_OHMS)
"""where `delay_s` bends; between them, and beyond the last, it is straight"""


def fitted_delay_s(ohms: ArrayLike) -> FloatArray:
    """The fitted law alone: 29.70 ms and 11.46 ms for every kilohm (Wiltshire, 2015)."""
    return np.asarray(value("least_delay_s") + value("delay_s_per_ohm") * np.asarray(ohms, dtype=float))


def delay_s(ohms: ArrayLike) -> FloatArray:
    """Delay of a typical chip at 5 V with `ohms` at pin 6; nan below zero ohms and for no number.

    Between the rows of the maker's table straight; see `JOINT` for the way beyond its last row. Below the
    first row (0.5 ohm) as at that row.
    """
    given = np.asarray(ohms, dtype=float)
    joint = JOINT * MOST_OHMS
    inside = np.interp(given, [*_OHMS, joint], [*_DELAY_S, float(fitted_delay_s(joint))])
    found = np.where(given > joint, fitted_delay_s(given), inside)
    return np.asarray(np.where((given >= 0) & np.isfinite(given), found, np.nan))


def within_table(ohms: ArrayLike) -> BoolArray:
    """Whether a resistance lies within the maker's table, 0.5 ohm to 27.6 kohm."""
    given = np.asarray(ohms, dtype=float)
    return np.asarray((given >= LEAST_OHMS * (1 - ROUNDING)) & (given <= MOST_OHMS * (1 + ROUNDING)))


def clock_hz(delay: ArrayLike) -> FloatArray:
    """Clock frequency that makes a delay [s]: between the rows of the table, beyond them by the fitted
    law.
    """
    given = np.asarray(delay, dtype=float)
    law = value("clock_cycles") / (given - value("clock_lag_s"))
    cycles = np.interp(given, _DELAY_S, _CLOCK_HZ * _DELAY_S)
    return np.asarray(np.where(_in_table(given), cycles / given, law))


def _in_table(delay: FloatArray) -> BoolArray:
    return np.asarray((delay >= _DELAY_S[0] * (1 - ROUNDING)) & (delay <= _DELAY_S[-1] * (1 + ROUNDING)))


def bits_per_s(delay: ArrayLike) -> FloatArray:
    """How many bits a second the memory takes in at a delay [s]."""
    return np.asarray(value("memory_bits") / np.asarray(delay, dtype=float))


def distortion_percent(delay: ArrayLike) -> FloatArray:
    """Distortion [%] of 0.5 V rms at 1 kHz at a delay [s]: the table, beyond it the fitted law (within 12
    %).
    """
    given = np.asarray(delay, dtype=float)
    law = np.hypot(value("distortion_floor"), value("distortion_per_s") * given)
    return np.asarray(np.where(_in_table(given), np.interp(given, _DELAY_S, _DISTORTION), law))


def noise_dbv(delay: ArrayLike) -> FloatArray:
    """Typical noise at pin 12 [dBV, A-weighted] at a delay [s].

    The data sheet's figure at 171 ms, rising 26 dB for ten times the delay as measured between 52 and 600
    ms; never below the data sheet's least.
    """
    ratio = np.asarray(delay, dtype=float) / value("noise_delay_s")
    found = value("noise_dbv") + value("noise_db_per_decade") * np.log10(ratio)
    return np.asarray(np.maximum(found, value("least_noise_dbv")))


def supply_shift_s(volts: ArrayLike) -> FloatArray:
    """By how much a supply other than 5 V moved the delay at most [s]; beyond 4.6 to 5.4 V carried on
    straight.
    """
    return _beyond(np.asarray(volts, dtype=float), SUPPLY_SHIFT_S)


def temperature_shift_s(celsius: ArrayLike) -> FloatArray:
    """The same for a temperature other than 24 deg C, measured at 10 and 40 deg C."""
    return _beyond(np.asarray(celsius, dtype=float), TEMPERATURE_SHIFT_S)


@dataclass(frozen=True, slots=True, kw_only=True)
class DelayShifts:
    """By how much supply and temperature move the delay at most, either way; pairs (cause, shift [s]).

    `at_supply_s` is the shift at the supply as it is, None at the 5.00 V the delay is told for;
    `supply_measured` whether that supply lies within the measured ones. `over_supply` holds the ends of the
    supplies measured [V], `over_temperature` those of the temperatures [deg C].
    """

    at_supply_s: float | None
    supply_measured: bool
    over_supply: tuple[tuple[float, float], ...]
    over_temperature: tuple[tuple[float, float], ...]
    mark: Mark


def delay_shifts(supply_v: float) -> DelayShifts:
    """What supply and temperature do to the delay of a chip at a supply [V]; 5 V means to a hundredth."""
    (least_v, _), (most_v, _) = ends = SUPPLY_SHIFT_S[0], SUPPLY_SHIFT_S[-1]
    nominal = abs(supply_v - value("nominal_supply_v")) < NOMINAL_WITHIN_V
    return DelayShifts(
        at_supply_s=None if nominal else float(supply_shift_s(supply_v)),
        supply_measured=bool(least_v <= supply_v <= most_v),
        over_supply=ends,
        over_temperature=(TEMPERATURE_SHIFT_S[0], TEMPERATURE_SHIFT_S[-1]),
        mark=SHIFT_MARK,
    )


def _beyond(given: FloatArray, points: tuple[tuple[float, float], ...]) -> FloatArray:
    at, shift = np.array(points).T
    low = shift[0] + (given - at[0]) * (shift[1] - shift[0]) / (at[1] - at[0])
    high = shift[-1] + (given - at[-1]) * (shift[-1] - shift[-2]) / (at[-1] - at[-2])
    return np.asarray(
        np.where(given < at[0], low, np.where(given > at[-1], high, np.interp(given, at, shift)))
    )


def slope_v_per_s(integrator_farads: float) -> float:
    """The steepest sound the coder follows [V/s] with an integrator capacitor."""
    return value("slope_a") / integrator_farads


def highest_clean_hz(slope: float, peak_v: float) -> float:
    """The highest frequency at which a peak is followed at a slope limit; above it the output is a
    triangle.
    """
    return slope / (2 * np.pi * peak_v)
