"""Regular repeats in an echo pattern: how far apart, how much weaker each time."""

from dataclasses import dataclass
from itertools import takewhile

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.measure.clicks import Arrival, EchoPattern

_REGULAR = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class HeardRepeats:
    """Straight lines through the times and levels of repeats that follow each other at one spacing.

    `ratio` is from one repeat to the next at the pattern's reference frequency; `uneven_s` and `uneven_db`
    are how far repeats stand from the lines at most. None where there is no such series.
    """

    count: int
    from_number: int
    spacing_s: float | None = None
    ratio: float | None = None
    uneven_s: float | None = None
    uneven_db: float | None = None
    remarks: tuple[str, ...] = ()


def heard_repeats(pattern: EchoPattern, *, dry: bool = True) -> HeardRepeats:
    """The repeats of a pattern; with `dry` its first arrival is the direct sound and is left out."""
    arrivals = pattern.arrivals[1 if dry else 0 :]
    # The first that noise hides ends the series: one left out would double a spacing.
    series = list(takewhile(lambda one: one.reference_db is not None, arrivals))
    start = series[0].number if series else 0
    if len(series) < 2:
        why = (*pattern.remarks, f"{len(series)} repeats stand clear, two are needed")
        return HeardRepeats(count=len(series), from_number=start, remarks=why)
    times_s = np.array([one.time_s for one in series])
    spacing_s, uneven_s = _line(times_s)
    if uneven_s > _REGULAR * spacing_s:
        why = ("the arrivals do not follow each other at one spacing",)
        return HeardRepeats(count=len(series), from_number=start, uneven_s=uneven_s, remarks=why)
    step_db, uneven_db = _line(_levels_db(series))
    return HeardRepeats(
        count=len(series),
        from_number=start,
        spacing_s=spacing_s,
        ratio=float(10 ** (step_db / 20)),
        uneven_s=uneven_s,
        uneven_db=uneven_db,
    )


def _levels_db(series: list[Arrival]) -> FloatArray:
    return np.array([one.reference_db for one in series], dtype=np.float64)


def _line(values: FloatArray) -> tuple[float, float]:
    """Slope of the nearest straight line, and the largest distance from it."""
    places = np.arange(len(values))
    slope, start = np.polyfit(places, values, 1)
    return float(slope), float(np.abs(values - start - slope * places).max())
