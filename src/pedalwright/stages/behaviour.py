"""What a gain looks like over the audio band, in one trade word."""

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from pedalwright.stages.stage import ComplexArray

POINTS_HZ = (30.0, 150.0, 700.0, 3000.0, 15000.0)
"""five places across what an instrument fills"""
FLAT_DB = 3.0
"""less change than this over the band is called flat (half the power; common practice, no source)"""


def at_hz(points_hz: Sequence[float] | NDArray[np.float64]) -> ComplexArray:
    """Complex frequencies [rad/s] for a list of frequencies [Hz]."""
    return np.asarray(2j * np.pi * np.asarray(points_hz, dtype=float), dtype=np.complex128)


def levels_db(gain: Callable[[ComplexArray], ComplexArray]) -> tuple[float, ...]:
    """Gain at the five places in decibels; minus infinity where nothing comes through."""
    with np.errstate(divide="ignore"):
        levels = 20 * np.log10(np.abs(gain(at_hz(POINTS_HZ))))
    return tuple(float(level) for level in levels)


def behaviour_of(gain: Callable[[ComplexArray], ComplexArray]) -> str:
    """``flat``, ``low-pass``, ``high-pass``, ``band-pass``, ``band-stop`` or ``silent``."""
    levels = levels_db(gain)
    top = max(levels)
    if top < -100.0:
        return "silent"
    low, high = top - levels[0], top - levels[-1]
    if max(levels) - min(levels) < FLAT_DB:
        return "flat"
    if low >= FLAT_DB and high >= FLAT_DB:
        return "band-pass"
    if low < FLAT_DB and high < FLAT_DB:
        return "band-stop"
    return "low-pass" if low < high else "high-pass"
