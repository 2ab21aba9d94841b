"""How evenly a knob's effect is spread over its travel, in steps as they are perceived."""

from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
TENTHS = 10
SILENCE_DB = 60.0
"""so far below the loudest position a level counts as silent"""
MOST_REPEATS = 100.0
"""more repeats than that are not told from one another, nor from ever more"""
DEAD_SHARE = 0.05
"""a stretch is dead where the change is less than this part of an even one"""
DEAD_LENGTH = 1.0
"""shortest stretch of the dial (0 to 10) that is called dead"""


class Scale(Enum):
    """How a figure is perceived."""

    LEVEL = "level"
    """evenly in decibels, down to 60 dB below the loudest"""
    OCTAVES = "octaves"
    """frequencies by their ratio"""
    EVEN = "even"
    """as it is: milliseconds, cents, volts"""
    DOUBLINGS = "doublings"
    """counts of repeats by their ratio, the first echo counted with them"""


NOTICED = {Scale.LEVEL: 1.0, Scale.OCTAVES: 0.25, Scale.DOUBLINGS: 0.25}
"""the smallest change over the whole travel worth telling, as perceived (house rule)"""


def perceived(values: FloatArray, scale: Scale) -> FloatArray:
    """Figures on the scale they are perceived on (positions,): decibels, octaves, doublings, or as they
    are.
    """
    with np.errstate(all="ignore"):
        if scale is Scale.LEVEL:
            return np.maximum(values, np.nanmax(values) - SILENCE_DB)
        if scale is Scale.OCTAVES:
            return np.asarray(np.log2(values))
        if scale is Scale.DOUBLINGS:
            return np.asarray(np.log2(1.0 + np.minimum(values, MOST_REPEATS)))
    return values


@dataclass(frozen=True, slots=True, kw_only=True)
class Spreading:
    """How a change is spread over the travel.

    `shares` (10,) are the parts of the whole change in each tenth of the travel. `evenness` is 1 when all are
    alike, 0 when one has everything. `half_from`..`half_to` is the shortest stretch of the dial that holds
    half of the change; `dead` lists stretches where next to nothing changes.
    """

    whole: float
    shares: tuple[float, ...]
    evenness: float
    half_from: float
    half_to: float
    dead: tuple[tuple[float, float], ...]
    turns_round: bool


def tenth_shares(at_tenths: FloatArray) -> FloatArray | None:
    """Shares (.., 10) of the whole change from perceived figures at 0, 1 ... 10 (.., 11); None when nothing
    changes or something is not known.
    """
    steps = np.abs(np.diff(at_tenths, axis=-1))
    whole = steps.sum(axis=-1, keepdims=True)
    if not np.all(np.isfinite(whole)) or not np.all(whole > 0):
        return None
    return np.asarray(steps / whole)


def evenness(shares: FloatArray) -> float:
    """1 - (1/2) sum|share - 1/10| / (9/10): 1 for ten alike, 0 for everything in one."""
    return float(1.0 - 0.5 * np.abs(shares - 1.0 / TENTHS).sum() / (1.0 - 1.0 / TENTHS))


def spreading(dial: FloatArray, values: FloatArray) -> Spreading | None:
    """How a perceived figure `values` (positions,) is spread over `dial` (positions,), which goes from 0 to
    10 and has every whole number; None when nothing changes or something is not known.
    """
    tenths = values[np.searchsorted(dial, np.arange(TENTHS + 1) - 1e-9)]
    shares = tenth_shares(tenths)
    if shares is None:
        return None
    steps = np.diff(values)
    low, high = _half(dial, np.abs(steps))
    return Spreading(
        whole=float(np.abs(steps).sum()),
        shares=tuple(shares.tolist()),
        evenness=evenness(shares),
        half_from=low,
        half_to=high,
        dead=_dead(dial, np.abs(steps)),
        turns_round=_turns_round(steps),
    )


def _half(dial: FloatArray, steps: FloatArray) -> tuple[float, float]:
    """The shortest stretch with half of the change, its far end between positions as a straight line says."""
    total = np.concatenate([[0.0], np.cumsum(steps)])
    best = (float(dial[0]), float(dial[-1]))
    rising = np.flatnonzero(np.diff(total, prepend=-1.0) > 0)
    for start in range(len(dial)):
        goal = total[start] + total[-1] / 2
        if goal <= total[-1]:
            end = float(np.interp(goal, total[rising], dial[rising]))
            if end - dial[start] < best[1] - best[0]:
                best = (float(dial[start]), end)
    return best


def _dead(dial: FloatArray, steps: FloatArray) -> tuple[tuple[float, float], ...]:
    """Stretches of at least a tenth of the travel in which next to nothing changes."""
    even = np.diff(dial) / (dial[-1] - dial[0])
    still = steps < DEAD_SHARE * even * steps.sum()
    edges = np.flatnonzero(np.diff(np.concatenate(([False], still, [False])).astype(int)))
    pairs = zip(edges[::2], edges[1::2], strict=True)
    found = ((float(dial[a]), float(dial[b])) for a, b in pairs)
    return tuple((low, high) for low, high in found if high - low >= DEAD_LENGTH - 1e-9)


def _turns_round(steps: FloatArray) -> bool:
    """Whether some of the change goes the other way: more than a twentieth of it."""
    up, down = steps[steps > 0].sum(), -steps[steps < 0].sum()
    return bool(min(up, down) > 0.05 * (up + down))
