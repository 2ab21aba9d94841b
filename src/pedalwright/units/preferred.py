"""Preferred numbers of IEC 60063: the values that parts are sold in.

E3 to E24 are historic lists: eight members of E24 differ from the geometric rule. E48 to E192 follow the rule
round(100 * 10**(i/192)) with the one exception 920 for 919 (exception from memory), each series holding every
second member of the next. E24 is not contained in E96: 4.7k is in E24 and E192 but not in E96.
"""

import math
from bisect import bisect_left, bisect_right
from enum import Enum
from itertools import pairwise

_E24 = (100, 110, 120, 130, 150, 160, 180, 200, 220, 240, 270, 300, 330, 360, 390, 430, 470, 510, 560, 620,
        680, 750, 820, 910)  # fmt: skip
_E192 = tuple(920 if i == 185 else round(100 * 10 ** (i / 192)) for i in range(192))
_SAME = 1e-9
"""Relative difference below which two numbers are the same value."""


class Series(Enum):
    """A series by name; `members` are its three-figure numbers from 100 to 999 in rising order."""

    E3 = 3
    E6 = 6
    E12 = 12
    E24 = 24
    E48 = 48
    E96 = 96
    E192 = 192

    @property
    def members(self) -> tuple[int, ...]:
        """The numbers of one decade, written with three figures."""
        return _MEMBERS[self]

    @property
    def usual_tolerance(self) -> float:
        """Tolerance [fraction] parts of this series are usually sold with (before the 2015 edition)."""
        return _TOLERANCE[self]


_MEMBERS = {
    series: _E24[:: 24 // series.value] if series.value <= 24 else _E192[:: 192 // series.value]
    for series in Series
}
_TOLERANCE = {
    Series.E3: 0.4,
    Series.E6: 0.2,
    Series.E12: 0.1,
    Series.E24: 0.05,
    Series.E48: 0.02,
    Series.E96: 0.01,
    Series.E192: 0.005,
}


def nearest(x: float, series: Series) -> float:
    """The member of `series` with the smallest difference from `x` (any unit, above zero); ties go up.

    >>> nearest(15915.494, Series.E24), nearest(95492.97, Series.E24)
    (16000.0, 91000.0)
    """
    return min(reversed(_around(x, series)), key=lambda member: abs(member - x))


def nearest_by_ratio(x: float, series: Series) -> float:
    """The member of `series` with the smallest ratio to `x`: the choice that moves a corner frequency least.

    >>> nearest_by_ratio(95492.97, Series.E24)
    100000.0
    """
    return min(reversed(_around(x, series)), key=lambda member: abs(math.log(member / x)))


def step(x: float, series: Series, n: int) -> float:
    """The n-th next larger (n above zero) or smaller (below zero) member; `x` itself need not be one.

    With n = 0 it is the nearest member.

    >>> step(4700.0, Series.E12, 1), step(5000.0, Series.E12, -1), step(9100.0, Series.E24, 2)
    (5600.0, 4700.0, 11000.0)
    """
    if n == 0:
        return nearest(x, series)
    decade = _decade_of(x)
    mantissa = x / 10.0**decade * 100
    members = series.members
    if n > 0:
        rank = bisect_right(members, mantissa * (1 + _SAME)) + n - 1
    else:
        rank = bisect_left(members, mantissa * (1 - _SAME)) + n
    shift, place = divmod(rank, len(members))
    return _value(members[place], decade + shift)


def is_member(x: float, series: Series) -> bool:
    """True when `x` is a value of the series.

    >>> is_member(4700.0, Series.E96)
    False
    """
    return math.isclose(nearest(x, series), x, rel_tol=_SAME)


def series_of(x: float) -> Series | None:
    """The smallest series holding `x`, or None when no series does.

    >>> series_of(4700.0).name, series_of(3900.0).name, series_of(4123.0)
    ('E3', 'E12', None)
    """
    return next((series for series in Series if is_member(x, series)), None)


def members_between(low: float, high: float, series: Series) -> tuple[float, ...]:
    """All members from `low` to `high`, both included, rising.

    >>> members_between(900.0, 1500.0, Series.E12)
    (1000.0, 1200.0, 1500.0)
    """
    if low > high:
        return ()
    decades = range(_decade_of(low), _decade_of(high) + 1)
    values = (_value(member, decade) for decade in decades for member in series.members)
    return tuple(value for value in values if low * (1 - _SAME) <= value <= high * (1 + _SAME))


def worst_snap_error(series: Series) -> float:
    """Largest relative error [fraction] of `nearest`: half the widest gap over its middle.

    >>> round(100 * worst_snap_error(Series.E12), 2)
    11.11
    """
    ring = (*series.members, 1000)
    return max((upper - lower) / (upper + lower) for lower, upper in pairwise(ring))


def _around(x: float, series: Series) -> list[float]:
    """The members on both sides of `x`, and `x` itself when it is one; rising."""
    decade = _decade_of(x)
    ring = (*series.members, 1000)
    place = min(bisect_right(ring, x / 10.0**decade * 100), len(ring) - 1)
    return [_value(ring[max(place - 1, 0)], decade), _value(ring[place], decade)]


def _decade_of(x: float) -> int:
    if not (math.isfinite(x) and x > 0):
        raise ValueError(f"{x} has no preferred number: it must be above zero and finite")
    decade = math.floor(math.log10(x))
    # A member such as 1e-9 may come out a hair below its own power of ten.
    return decade + 1 if math.isclose(x, 10.0 ** (decade + 1), rel_tol=_SAME) else decade


def _value(member: int, decade: int) -> float:
    """Member times decade, correctly rounded so that it equals the value read from text."""
    return float(f"{member}e{decade - 2}")
