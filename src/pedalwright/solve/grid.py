"""Frequency grids, and corners, peaks and notches found on the exact curve rather than on its samples."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pedalwright.solve.arrays import FloatArray

Curve = Callable[[FloatArray], FloatArray]
"""A level [dB], or any real quantity, at frequencies [Hz]: (n,) in, (n,) out."""

HALF_POWER_DB = 10.0 * float(np.log10(2.0))
BISECTIONS = 60
GOLDEN = (5.0**0.5 - 1.0) / 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossing:
    """Where a curve crosses a level: `rising` when it comes from below as frequency goes up."""

    frequency_hz: float
    rising: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Extreme:
    """A largest or smallest value of a curve; `at_edge` when it lies at the end of the grid, so is none of
    the curve's own.
    """

    frequency_hz: float
    value: float
    at_edge: bool


def log_frequencies(low_hz: float, high_hz: float, per_decade: int = 60) -> FloatArray:
    """Frequencies from `low_hz` to `high_hz`, both included, evenly spaced on a logarithmic scale.

    Raises ValueError unless 0 < low < high and there is at least one a decade.
    """
    if not 0.0 < low_hz < high_hz or per_decade < 1:
        raise ValueError(f"no grid from {low_hz} Hz to {high_hz} Hz with {per_decade} a decade")
    count = int(np.ceil(np.log10(high_hz / low_hz) * per_decade)) + 1
    return np.geomspace(low_hz, high_hz, max(count, 2))


def decibels(gain: np.ndarray) -> FloatArray:
    """20 log10 |gain| [dB]; minus infinity for zero."""
    with np.errstate(divide="ignore"):
        return np.asarray(20.0 * np.log10(np.abs(gain)), dtype=np.float64)


def crossings(curve: Curve, level: float, frequencies_hz: FloatArray) -> tuple[Crossing, ...]:
    """Every place between grid points where the curve crosses `level`, refined by bisection on the exact
    curve.
    """
    above = curve(frequencies_hz) >= level
    turns = np.flatnonzero(above[1:] != above[:-1])
    if not len(turns):
        return ()
    low, high = np.log(frequencies_hz[turns]), np.log(frequencies_hz[turns + 1])
    starts = above[turns]
    for _ in range(BISECTIONS):
        middle = 0.5 * (low + high)
        same = (curve(np.exp(middle)) >= level) == starts
        low, high = np.where(same, middle, low), np.where(same, high, middle)
    found = np.exp(0.5 * (low + high))
    return tuple(
        Crossing(frequency_hz=float(f), rising=not start) for f, start in zip(found, starts, strict=True)
    )


def corners(
    curve_db: Curve, frequencies_hz: FloatArray, *, reference_db: float, drop_db: float = HALF_POWER_DB
) -> tuple[Crossing, ...]:
    """Where a level [dB] falls `drop_db` below a reference: rising ones are low corners, falling ones high
    corners.
    """
    return crossings(curve_db, reference_db - drop_db, frequencies_hz)


def peak(curve: Curve, frequencies_hz: FloatArray) -> Extreme:
    """The largest value of the curve over the grid's range, refined by golden section around the best
    sample.
    """
    samples = curve(frequencies_hz)
    best = int(np.nanargmax(samples))
    if best in (0, len(frequencies_hz) - 1):
        return Extreme(frequency_hz=float(frequencies_hz[best]), value=float(samples[best]), at_edge=True)
    where = _golden(curve, float(frequencies_hz[best - 1]), float(frequencies_hz[best + 1]))
    return Extreme(frequency_hz=where, value=float(curve(np.array([where]))[0]), at_edge=False)


def dip(curve: Curve, frequencies_hz: FloatArray) -> Extreme:
    """The smallest value of the curve over the grid's range, refined likewise."""
    top = peak(lambda f: -curve(f), frequencies_hz)
    return Extreme(frequency_hz=top.frequency_hz, value=-top.value, at_edge=top.at_edge)


def notch_depth_db(curve_db: Curve, frequencies_hz: FloatArray) -> float:
    """How far a notch lies below the lower of the two shoulders beside it [dB]; 0 when there is no notch
    inside.
    """
    lowest = dip(curve_db, frequencies_hz)
    if lowest.at_edge:
        return 0.0
    samples = curve_db(frequencies_hz)
    left = samples[frequencies_hz < lowest.frequency_hz].max()
    right = samples[frequencies_hz > lowest.frequency_hz].max()
    return float(min(left, right) - lowest.value)


def _golden(curve: Curve, low_hz: float, high_hz: float) -> float:
    """Golden-section search for the top of the curve between two frequencies, on a logarithmic scale."""
    low, high = np.log(low_hz), np.log(high_hz)
    inner = [high - GOLDEN * (high - low), low + GOLDEN * (high - low)]
    values = curve(np.exp(np.array(inner)))
    for _ in range(BISECTIONS):
        if values[0] >= values[1]:
            high, inner = inner[1], [inner[1] - GOLDEN * (inner[1] - low), inner[0]]
            values = np.array([curve(np.exp(np.array(inner[:1])))[0], values[0]])
        else:
            low, inner = inner[0], [inner[1], inner[0] + GOLDEN * (high - inner[0])]
            values = np.array([values[1], curve(np.exp(np.array(inner[1:])))[0]])
    return float(np.exp(0.5 * (low + high)))
