"""What an oscillator does: between which voltages every net moves, and how often.

An oscillating circuit has a rest point that it leaves at once, so its figures are of no use to a meter. Here
the circuit is followed in time until two periods are alike: each step a trapezoid and then a backward
difference of second order (TR-BDF2; Bank and others, IEEE Trans. Electron Devices 32, 1985, from memory),
which neither rings where a trigger flips nor lets a slow sine die. Steps follow the voltages: the flip of a
trigger is taken as one jump.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.balance import INFINITE, NET_FARADS
from pedalwright.solve.equations import Aid, Equations, equations
from pedalwright.solve.newton import State, newton
from pedalwright.solve.rest import ROOM_K

GAMMA = 2.0 - np.sqrt(2.0)
STEP_V = 0.3
"""voltages move by about so much in a step"""
FIRST_S, SHORTEST_S, LONGEST_S = 1e-4, 1e-4, 0.1
FASTEST_S = 1e-9
"""steps are made shorter than SHORTEST_S only where the equations cannot be solved otherwise"""
MOST_STEPS, MOST_SOLUTIONS = 1500, 8000
NEWTON_STEPS = 14
KICK_V = 0.5
START_SHARE, STARTING = 0.3, 80
"""the first steps, this many at most, are no longer than this share of the growth"""
ALIKE = 0.02
"""two periods are alike when the ranges of all nets differ by less than this share of the largest"""
MOVES_V = 0.02
"""a net that swings by less stands still for a meter"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """An oscillating circuit. `ranges` holds (lowest, highest) [V] of every net that moves by more than
    MOVES_V, `shifts` how far [V] the middle of every other net lies from the rest point; both None when the
    oscillation could not be followed until two periods were alike, and `rate_hz` too.
    """

    ranges: Mapping[str, tuple[float, float]] | None
    shifts: Mapping[str, float] | None
    rate_hz: float | None


def movement(analysis: Analysis) -> Movement | None:
    """What oscillates in a circuit with its knobs as they stand; None for one that comes to rest."""
    way = leaving(analysis)
    if way is None and analysis.rest.stays:
        return None
    found = None if way is None else _followed(analysis, way)
    return found or Movement(ranges=None, shifts=None, rate_hz=None)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Leaving:
    """The fastest way off an unstable rest point: its `direction` (size,) and how long it takes to grow by a
    factor of e.
    """

    direction: FloatArray
    seconds: float


def leaving(analysis: Analysis) -> Leaving | None:
    """The way in which the circuit leaves its rest point by itself; None when it stays, or is not known."""
    if not analysis.rest.certificate.ok:
        return None
    system, x = analysis.system, analysis.rest.x[None]
    slow = system.derivatives(system.values[None])[0]
    slow[range(system.node_count), range(system.node_count)] += NET_FARADS
    batch = equations(system, {}, ROOM_K)
    with np.errstate(all="ignore"):
        _, jacobian = batch.evaluate(x, batch.controls(x), Aid())
        try:
            constants, shapes = np.linalg.eig(np.linalg.solve(jacobian[0], slow))
        except np.linalg.LinAlgError:
            return None
    told = np.abs(constants) > INFINITE * np.abs(constants).max(initial=0.0)
    wrong = told & (constants.real < -1e-6 * np.abs(constants))
    if not wrong.any():
        return None
    fastest = np.flatnonzero(wrong)[np.argmin(np.abs(constants[wrong]))]
    grows = -float((1.0 / constants[fastest]).real)
    return Leaving(direction=np.asarray(shapes[:, fastest].real, dtype=np.float64), seconds=1.0 / grows)


@dataclass(kw_only=True, eq=False)
class _Clockwork:
    """The equations in time: F(x) + C dx/dt = 0; counts the solutions it has cost."""

    batch: Equations
    c: FloatArray
    cost: int = 0

    def step(self, x: FloatArray, seconds: float) -> FloatArray | None:
        """One step from `x` (1, size + 1); None when it could not be solved."""
        size = self.batch.system.size
        here, fast = x[:, :size], 2.0 / (GAMMA * seconds)
        known = fast * (here @ self.c.T) - self.batch.residual(x)
        middle = self._solved(x, fast, known)
        if middle is None:
            return None
        slow = (2.0 - GAMMA) / ((1.0 - GAMMA) * seconds)
        share = 1.0 / (GAMMA * (2.0 - GAMMA))
        mixed = share * middle[:, :size] - (1.0 - GAMMA) ** 2 * share * here
        return self._solved(middle, slow, slow * (mixed @ self.c.T))

    def settle(self, x: FloatArray, seconds: float) -> FloatArray | None:
        """The charges of `x` kept, everything else made to fit them: one very short step backwards."""
        rate = 1.0 / seconds
        return self._solved(x, rate, rate * (x[:, : self.batch.system.size] @ self.c.T))

    def _solved(self, x: FloatArray, rate: float, known: FloatArray) -> FloatArray | None:
        moving = replace(self.batch, g=self.batch.g + rate * self.c, b=self.batch.b + known)
        start = State(x=x.copy(), w=moving.controls(x), settled=np.zeros(1, dtype=bool))
        found = newton(moving, start, Aid(), NEWTON_STEPS)
        self.cost += found.iterations
        return found.x if found.settled[0] and np.isfinite(found.x).all() else None


def _followed(analysis: Analysis, way: Leaving) -> Movement | None:
    batch = equations(analysis.system, {}, ROOM_K)
    work = _Clockwork(batch=batch, c=analysis.system.derivatives(analysis.system.values[None])[0])
    reach = np.abs(way.direction[: analysis.system.node_count]).max(initial=0.0)
    if not reach > 0.0:
        return None
    kicked = analysis.rest.x[None].copy()
    kicked[0, : analysis.system.size] += KICK_V / reach * way.direction
    with np.errstate(all="ignore"):
        seen = list(_run(work, kicked, analysis.rest.x[None], way.seconds))
    return _told(analysis, seen)


def _run(
    work: _Clockwork, kicked: FloatArray, rest: FloatArray, growth_s: float
) -> Iterator[tuple[float, FloatArray]]:
    """(seconds, voltages) step by step, until two periods are alike or enough was tried."""
    nodes = work.batch.system.node_count
    first_s = min(FIRST_S, START_SHARE * growth_s)
    settled = work.settle(kicked, 0.01 * first_s)
    if settled is None:
        return
    x, now, length, watch = settled, 0.0, first_s, _Watch()
    for _ in range(MOST_STEPS):
        new = work.step(x, length)
        if new is None:
            length *= 0.1
            if length < FASTEST_S or work.cost > MOST_SOLUTIONS:
                return
            continue
        moved = _furthest(new, x, nodes)
        if moved > 2 * STEP_V and length > SHORTEST_S:
            length = max(SHORTEST_S, length * (0.25 if moved > 8 * STEP_V else 0.5))
            continue
        x, now = new, now + length
        yield now, x[0, :nodes]
        if watch.alike(now, x[0, :nodes]) or work.cost > MOST_SOLUTIONS:
            return
        length = min(LONGEST_S, length * min(2.0, max(0.5, STEP_V / max(moved, 1e-9))))
        # A step far longer than the growth would let it die away: the formula damps what it cannot follow.
        if len(watch.times) < STARTING and _furthest(x, rest, nodes) < 2 * KICK_V:
            length = min(length, START_SHARE * growth_s)


def _furthest(x: FloatArray, y: FloatArray, nodes: int) -> float:
    return float(np.abs(x - y)[0, :nodes].max(initial=0.0))


class _Watch:
    """Looks for two periods that are alike while the circuit runs; a mutable helper of one run."""

    def __init__(self) -> None:
        self.times: list[float] = []
        self.seen: list[FloatArray] = []
        self.looked = 0

    def alike(self, now: float, volts: FloatArray) -> bool:
        """Takes in a step; True when the last two periods had the same ranges."""
        self.times.append(now)
        self.seen.append(volts)
        if len(self.seen) % 20:
            return False
        found = periods(np.array(self.seen))
        if len(found) < 4 or len(found) == self.looked:
            return False
        self.looked = len(found)
        table = np.array(self.seen)
        last, before = (ranges_of(table[found[at] : found[at + 1]]) for at in (-2, -3))
        widest = float((last[1] - last[0]).max())
        return bool(np.abs(np.stack(last) - np.stack(before)).max() < ALIKE * widest)


def periods(table: FloatArray) -> list[int]:
    """The steps at which the net that moves most rises through the middle of its later range."""
    half = table[len(table) // 2 :]
    busiest = int(np.argmax(half.max(axis=0) - half.min(axis=0)))
    wave, low, high = table[:, busiest], half[:, busiest].min(), half[:, busiest].max()
    # A crossing counts once the wave has been well below and comes well above.
    below, above = low + 0.3 * (high - low), low + 0.7 * (high - low)
    found, armed = [], False
    for place, volts in enumerate(wave):
        if volts < below:
            armed = True
        elif armed and volts > above:
            found.append(place)
            armed = False
    return found


def ranges_of(table: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Lowest and highest of every column."""
    return table.min(axis=0), table.max(axis=0)


def _told(analysis: Analysis, seen: list[tuple[float, FloatArray]]) -> Movement | None:
    if len(seen) < 50:
        return None
    times, table = np.array([at for at, _ in seen]), np.array([volts for _, volts in seen])
    found = periods(table)
    if len(found) < 4:
        return None
    # The ranges of the last two whole periods, which the watch found alike.
    low, high = ranges_of(table[found[-3] : found[-1] + 1])
    last, before = (ranges_of(table[found[at] : found[at + 1]]) for at in (-2, -3))
    if np.abs(np.stack(last) - np.stack(before)).max() > 2 * ALIKE * float((high - low).max()):
        return None
    system = analysis.system
    nets = {net: row for net, row in system.rows.items() if row < system.node_count}
    moves = {net: bool(high[row] - low[row] > MOVES_V) for net, row in nets.items()}
    middle = 0.5 * (low + high) - analysis.rest.x[: system.node_count]
    return Movement(
        ranges={net: (float(low[row]), float(high[row])) for net, row in nets.items() if moves[net]},
        shifts={net: float(middle[row]) for net, row in nets.items() if not moves[net]},
        rate_hz=2.0 / float(times[found[-1]] - times[found[-3]]),
    )
