"""How loud a click is: the A curve of IEC 61672-1 as a filter, and the classes of the house rule."""

from enum import Enum

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
ComplexArray = NDArray[np.complex128]
POLES_HZ = (20.598997, 20.598997, 107.65265, 737.86223, 12194.217, 12194.217)
"""poles of the A curve; it has four zeros at 0 Hz (IEC 61672-1, digits from memory)"""
ZEROS = 4
PLAYING_V = 0.1
"""the level that clicks are held against: a guitar played at ease, 100 mV (house rule)"""
INAUDIBLE_DB, FAINT_DB = -60.0, -40.0
"""against the playing level; no published limit of audibility was found (house rule)"""


class Loudness(Enum):
    """How a click is heard, by its A-weighted peak against the playing level (house rule)."""

    INAUDIBLE = "inaudible"
    FAINT = "faint"
    FAILS = "plainly heard"


def a_curve(frequency_hz: FloatArray) -> ComplexArray:
    """The A curve with its phase, one at 1 kHz [-]."""
    s = np.asarray(2j * np.pi * frequency_hz, dtype=np.complex128)
    return np.asarray(_shape(s) / abs(_shape(np.array([2j * np.pi * 1000.0]))[0]), dtype=np.complex128)


def a_weighted(volts: FloatArray, step_s: float) -> FloatArray:
    """A wave that was nothing before it begins, through the A curve; as many samples as it has.

    What follows the end is faded out over as long again, so that the end itself makes no click.
    """
    count = len(volts)
    faded = float(volts[-1]) * 0.5 * (1 + np.cos(np.pi * np.arange(1, count + 1) / count))
    whole = np.concatenate([volts, faded, np.zeros(2 * count)])
    size = 1 << (len(whole) - 1).bit_length()
    curve = a_curve(np.asarray(np.fft.rfftfreq(size, step_s), dtype=float))
    spectrum = np.asarray(np.fft.rfft(whole, size) * curve)
    return np.asarray(np.fft.irfft(spectrum, size)[:count])


def level_db(peak_v: float) -> float:
    """A weighted peak against the playing level, in decibels; no less than -200."""
    return float(20 * np.log10(max(peak_v / PLAYING_V, 1e-10)))


def loudness(peak_v: float) -> Loudness:
    """The class of an A-weighted peak in volts."""
    level = level_db(peak_v)
    if level < INAUDIBLE_DB:
        return Loudness.INAUDIBLE
    return Loudness.FAINT if level <= FAINT_DB else Loudness.FAILS


def _shape(s: ComplexArray) -> ComplexArray:
    found = s**ZEROS
    for pole in POLES_HZ:
        found = found / (s + 2 * np.pi * pole)
    return np.asarray(found, dtype=np.complex128)
