"""Where the ticks of a plot stand and how far its axes reach."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, floor, isfinite, log10

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
DEEPEST_DB = 70.0
"""a notch or a dead band is not followed further down than this below the highest point"""
LEAST_SPAN = {"dB": 12.0, "°": 90.0}
MOST_TICKS = 7
STEPS = {"dB": (1, 2, 3, 6, 10, 20, 30, 60, 100), "°": (15, 30, 45, 90, 180, 360, 720)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """An axis: its ends and where its ticks stand."""

    low: float
    high: float
    ticks: tuple[float, ...]


def frequency_axis(frequency_hz: FloatArray) -> Axis:
    """The frequencies as they are, with a tick at every decade, and at 2 and 5 times it when there are few
    decades.
    """
    low, high = float(frequency_hz[0]), float(frequency_hz[-1])
    decades = range(floor(log10(low)), ceil(log10(high)) + 1)
    factors = (1,) if high / low > 3e4 else (1, 2, 5)
    ticks = tuple(factor * 10.0**decade for decade in decades for factor in factors)
    return Axis(
        low=low, high=high, ticks=tuple(tick for tick in ticks if low * 0.999 <= tick <= high * 1.001)
    )


def even_axis(values: FloatArray) -> Axis:
    """The values as they are, from the first to the last, with round ticks."""
    low, high = float(values[0]), float(values[-1])
    step = _step(high - low, "") if high > low else 1.0
    ticks = tuple(count * step for count in range(ceil(low / step), floor(high / step + 1e-9) + 1))
    return Axis(low=low, high=high, ticks=ticks)


def shares_along(values: FloatArray, axis: Axis, *, even: bool) -> FloatArray:
    """How far along an axis values stand, 0 to 1: evenly, or by their ratio."""
    if even:
        return np.asarray((values - axis.low) / (axis.high - axis.low))
    return np.asarray(np.log(values / axis.low) / np.log(axis.high / axis.low))


def level_axis(lines: Iterable[FloatArray], unit: str) -> Axis | None:
    """An axis around all finite values, with round ticks; None when there are none."""
    finite = [line[np.isfinite(line)] for line in lines]
    values = np.concatenate(finite) if finite else np.array([])
    if not len(values):
        return None
    top = float(values.max())
    bottom = max(float(values.min()), top - DEEPEST_DB) if unit == "dB" else float(values.min())
    return _rounded(bottom, top, unit)


ROOM = 1.1
"""what an axis over decades leaves above and below, as a ratio"""
MOST_DECADES = 7.0
"""an axis over decades is followed no further down than this"""


def ratio_axis(lines: Iterable[FloatArray]) -> Axis | None:
    """An axis over decades around all finite values above zero, from tick to tick; None when there are
    none.
    """
    finite = [line[np.isfinite(line) & (line > 0.0)] for line in lines]
    values = np.concatenate(finite) if finite else np.array([])
    if not len(values):
        return None
    high = float(values.max())
    low = max(float(values.min()), high * 10.0**-MOST_DECADES)
    for factors in ((1, 2, 5), (1, 3), (1,)):
        ticks = _around(low / ROOM, high * ROOM, factors)
        if len(ticks) <= MOST_TICKS or factors == (1,):
            break
    return Axis(low=ticks[0], high=ticks[-1], ticks=ticks)


def _around(low: float, high: float, factors: tuple[int, ...]) -> tuple[float, ...]:
    """The ticks from the last at or below `low` to the first at or above `high`, three at least."""
    decades = range(floor(log10(low)) - 3, ceil(log10(high)) + 4)
    all_ticks = [float(f"{factor}e{decade}") for decade in decades for factor in factors]
    first = max(place for place, tick in enumerate(all_ticks) if tick <= low * (1 + 1e-9))
    last = min(place for place, tick in enumerate(all_ticks) if tick >= high * (1 - 1e-9))
    while last - first < 2:
        nearer_below = low / all_ticks[first] < all_ticks[last] / high
        first, last = (first - 1, last) if nearer_below else (first, last + 1)
    return tuple(all_ticks[first : last + 1])


def _rounded(bottom: float, top: float, unit: str) -> Axis:
    least = LEAST_SPAN.get(unit, 0.0) or max(abs(top), 1e-12) * 0.1
    if top - bottom < least:
        middle = (top + bottom) / 2
        bottom, top = middle - least / 2, middle + least / 2
    step = _step(top - bottom, unit)
    low, high = floor(bottom / step), ceil(top / step)
    return Axis(low=low * step, high=high * step, ticks=tuple(count * step for count in range(low, high + 1)))


def _step(span: float, unit: str) -> float:
    """The smallest round step that gives few ticks."""
    fitting = [step for step in STEPS.get(unit, ()) if span / step <= MOST_TICKS - 1]
    if fitting:
        return float(fitting[0])
    power = 10.0 ** floor(log10(span / MOST_TICKS))
    return next(
        (factor * power for factor in (1, 2, 5) if span / (factor * power) <= MOST_TICKS - 1), 10 * power
    )


def short(value: float) -> str:
    """A value as the tick of an axis over decades says it: 0.5, 20, 1k, 2M."""
    for factor, sign in ((1e9, "G"), (1e6, "M"), (1e3, "k")):
        if value >= factor:
            return f"{value / factor:.3g}{sign}"
    return f"{value:.3g}"


def short_hz(frequency: float) -> str:
    """A round frequency as a tick says it: 20, 1k, 20k."""
    if not isfinite(frequency) or frequency <= 0:
        return ""
    return f"{frequency / 1000:g}k" if frequency >= 1000 else f"{frequency:g}"
