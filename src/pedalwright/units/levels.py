"""Levels: ratios in decibels and voltages against the two references of audio work.

Source: dBV is against 1 V rms; dBu against the voltage that puts 1 mW into 600 ohms, sqrt(0.6) V rms
(IEC 60027-3; reference voltages from memory, agreeing with the figures printed by audio makers).
All functions also take arrays.
"""

import math
from collections.abc import Sequence
from typing import Any, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

DBU_REFERENCE_V = math.sqrt(0.6)
DBU_ABOVE_DBV_DB = -20 * math.log10(DBU_REFERENCE_V)

Real = TypeVar("Real", float, NDArray[np.float64])


def db_of_ratio(ratio: Real) -> Real:
    """Voltage or current ratio [-] in decibels [dB]; zero gives minus infinity.

    >>> round(db_of_ratio(0.5), 4)
    -6.0206
    """
    with np.errstate(divide="ignore"):
        return _like(20 * np.log10(np.abs(ratio)), ratio)


def ratio_of_db(level_db: Real) -> Real:
    """Voltage or current ratio [-] of a level difference [dB].

    >>> round(ratio_of_db(-3.0103), 5)
    0.70711
    """
    return _like(np.power(10.0, np.asarray(level_db) / 20), level_db)


def db_of_power_ratio(ratio: Real) -> Real:
    """Power ratio [-] in decibels [dB].

    >>> round(db_of_power_ratio(2.0), 4)
    3.0103
    """
    with np.errstate(divide="ignore"):
        return _like(10 * np.log10(np.abs(ratio)), ratio)


def dbv_of_volts(volts_rms: Real) -> Real:
    """Voltage [V rms] as level [dBV].

    >>> round(dbv_of_volts(0.316228), 3)
    -10.0
    """
    return db_of_ratio(volts_rms)


def volts_of_dbv(level_dbv: Real) -> Real:
    """Level [dBV] as voltage [V rms].

    >>> round(volts_of_dbv(-10.0), 6)
    0.316228
    """
    return ratio_of_db(level_dbv)


def dbu_of_volts(volts_rms: Real) -> Real:
    """Voltage [V rms] as level [dBu].

    >>> round(dbu_of_volts(0.1), 4)
    -17.7815
    """
    return db_of_ratio(volts_rms) + DBU_ABOVE_DBV_DB


def volts_of_dbu(level_dbu: Real) -> Real:
    """Level [dBu] as voltage [V rms].

    >>> round(volts_of_dbu(4.0), 6)
    1.227653
    """
    return ratio_of_db(level_dbu - DBU_ABOVE_DBV_DB)


def rms_of_peak_sine(peak_v: Real) -> Real:
    """Root-mean-square voltage [V] of a sine of the given peak [V].

    >>> round(rms_of_peak_sine(1.0), 6)
    0.707107
    """
    return peak_v / math.sqrt(2)


def sum_of_powers(values_rms: Sequence[float]) -> float:
    """Root of the sum of squares [same unit]: how uncorrelated sources add.

    >>> round(sum_of_powers([3.0, 4.0]), 6)
    5.0
    """
    return math.sqrt(math.fsum(value * value for value in values_rms))


def _like(result: Any, given: Real) -> Real:
    """A float for a float, an array for an array."""
    return cast(Real, result if np.ndim(given) else float(result))
