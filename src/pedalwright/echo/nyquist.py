"""How many growing tones a loop with its given delays has: Nyquist's count of det(1 - D A).

Twice the phase that det gathers from no frequency to infinity, over one turn, is the number of roots in the
right half plane (with the other sign). Where mu(A) < 1 no root can pass, and the phase there is known without
walking it: det(1 - t D A) is never nothing for t from 0 to 1, so it is the sum of the phases of 1 -
eigenvalue. Only the stretches where mu(A) may reach 1 are walked, on a grid that is halved until the count
repeats.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np

from pedalwright.echo.bound import quick_bound
from pedalwright.solve.arrays import ComplexArray, FloatArray

WHOLE_HZ = (0.05, 200e3)
COARSE = 1200
FIRST_STEP = 0.02
"""first step of the walk as a share of 1/(sum of the delays); wider ones have given false counts"""
MOST_TURN = 0.8
"""radians between neighbours"""
MOST_HALVINGS = 5
MOST_SPLITS = 30
NEAR = 0.98
"""from here on mu may reach one between the points of the coarse grid"""
MOST_POINTS = 400_000
ENDS = "the loop does not die away at both ends of the range"
Ways = Callable[[FloatArray], ComplexArray]


@dataclass(frozen=True, slots=True, kw_only=True)
class Count:
    """How many roots grow: `growing` is None where the count could not be trusted, `why` says then."""

    growing: int | None
    points: int
    why: str = ""


def count_growing(ways: Ways, delays_s: FloatArray) -> Count:
    """Count the growing tones; `ways` gives A (frequencies, N, N) at frequencies [Hz]. A itself must be
    stable.
    """
    grid = np.geomspace(*WHOLE_HZ, COARSE)
    coarse = ways(grid)
    sizes = quick_bound(coarse)
    if sizes[0] >= 1.0 or sizes[-1] >= 1.0:
        return Count(growing=None, points=len(grid), why=ENDS)
    stretches, between = _stretches(grid, sizes), partial(_between, coarse)
    step = FIRST_STEP / float(delays_s.sum())
    before: int | None = None
    points = len(grid)
    for _ in range(MOST_HALVINGS):
        if sum(high - low for low, high in stretches) / step > MOST_POINTS:
            return Count(growing=None, points=points, why="the walk would be too long")
        total, walked, settled = _gathered(between, delays_s, stretches, step)
        points += walked
        number = round(-total / np.pi)
        if settled and number == before and abs(-total / np.pi - number) < 0.05 and number >= 0:
            return Count(growing=number, points=points)
        before = number if settled else None
        step /= 2
    return Count(growing=None, points=points, why="the count did not repeat")


def _between(coarse: ComplexArray, frequency_hz: FloatArray) -> ComplexArray:
    """A between the points of the coarse grid: the cubic through the four nearest (Lagrange)."""
    spacing = np.log(WHOLE_HZ[1] / WHOLE_HZ[0]) / (COARSE - 1)
    place = np.log(frequency_hz / WHOLE_HZ[0]) / spacing
    first = np.clip(place.astype(int) - 1, 0, COARSE - 4)
    x = (place - first)[:, None, None]
    found = coarse[first] * (-(x - 1) * (x - 2) * (x - 3) / 6)
    found += coarse[first + 1] * (x * (x - 2) * (x - 3) / 2)
    found += coarse[first + 2] * (-x * (x - 1) * (x - 3) / 2)
    found += coarse[first + 3] * (x * (x - 1) * (x - 2) / 6)
    return np.asarray(found)


def _stretches(grid: FloatArray, sizes: FloatArray) -> list[tuple[float, float]]:
    """Where mu may reach one, each with a safe frequency at both ends; a little early, for peaks between."""
    near = sizes >= NEAR
    near[1:-1] |= near[:-2] | near[2:]
    near[[0, -1]] = False
    edges = np.flatnonzero(np.diff(near.astype(int)))
    return [(float(grid[a]), float(grid[b + 1])) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def _gathered(
    ways: Ways, delays_s: FloatArray, stretches: list[tuple[float, float]], step: float
) -> tuple[float, int, bool]:
    """The phase gathered on all stretches less what is known to be there, points used, whether fine
    enough.
    """
    total, points, settled = 0.0, 0, True
    for low, high in stretches:
        frequency = np.linspace(low, high, max(8, int((high - low) / step)))
        value = _determinant(ways, delays_s, frequency)
        frequency, value = _finer(ways, delays_s, frequency, value)
        turns = _turns(value)
        ends = np.array([low, high])
        known = [_known_phase(one) for one in _around(ways, delays_s, ends)]
        total += float(turns.sum()) - (known[1] - known[0])
        points += len(frequency)
        settled = settled and bool((np.abs(turns) < MOST_TURN).all())
    return total, points, settled


def _finer(
    ways: Ways, delays_s: FloatArray, frequency: FloatArray, value: ComplexArray
) -> tuple[FloatArray, ComplexArray]:
    """More points wherever the phase turns too much from one to the next: near a root that hardly grows."""
    for _ in range(MOST_SPLITS):
        wide = np.flatnonzero(np.abs(_turns(value)) >= MOST_TURN)
        if not len(wide):
            break
        between = 0.5 * (frequency[wide] + frequency[wide + 1])
        value = np.insert(value, wide + 1, _determinant(ways, delays_s, between))
        frequency = np.insert(frequency, wide + 1, between)
    return frequency, value


def _turns(value: ComplexArray) -> FloatArray:
    return np.asarray(np.angle(value[1:] / value[:-1]))


def _around(ways: Ways, delays_s: FloatArray, frequency: FloatArray) -> ComplexArray:
    """1 - D A at some frequencies."""
    late = np.exp(-2j * np.pi * frequency[:, None] * delays_s)
    return np.asarray(np.eye(len(delays_s)) - late[:, :, None] * ways(frequency))


def _determinant(ways: Ways, delays_s: FloatArray, frequency: FloatArray) -> ComplexArray:
    around = _around(ways, delays_s, frequency)
    if len(delays_s) > 2:
        return np.asarray(np.linalg.det(around))
    if len(delays_s) == 1:
        return np.asarray(around[:, 0, 0])
    return np.asarray(around[:, 0, 0] * around[:, 1, 1] - around[:, 0, 1] * around[:, 1, 0])


def _known_phase(matrix: ComplexArray) -> float:
    """The phase of det where no eigenvalue of D A reaches one in size: each factor stays right of nothing."""
    return float(np.angle(np.linalg.eigvals(matrix)).sum())


def threshold(
    ways: Callable[[float, FloatArray], ComplexArray],
    delays_s: FloatArray,
    low: float,
    high: float,
    *,
    steps: int = 10,
) -> float | None:
    """The setting between `low` (quiet) and `high` at which the first tone grows; None when none does at
    `high`, or a count cannot be trusted.
    """
    if not _grows(partial(ways, high), delays_s):
        return None
    for _ in range(steps):
        middle = 0.5 * (low + high)
        grows = _grows(partial(ways, middle), delays_s)
        if grows is None:
            return None
        low, high = (low, middle) if grows else (middle, high)
    return 0.5 * (low + high)


def _grows(ways: Ways, delays_s: FloatArray) -> bool | None:
    growing = count_growing(ways, delays_s).growing
    return None if growing is None else growing > 0
