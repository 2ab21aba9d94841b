"""A machine's tables made from a state space: what every input does within a step, and within parts of it."""

from collections.abc import Sequence

import numpy as np

from pedalwright.solve.arrays import FloatArray, IndexArray, indices
from pedalwright.solve.compiled import plain
from pedalwright.solve.time.bends import bends, starts
from pedalwright.solve.time.devices import Port
from pedalwright.solve.time.holds import Hold, hold
from pedalwright.solve.time.quiet import quiet_bounds
from pedalwright.solve.time.relevance import SUPPLY_V
from pedalwright.solve.time.state_space import StateSpace
from pedalwright.solve.time.tables import AT_ONCE, LEVELS, TERMS, Machine
from pedalwright.solve.time.wiring import Wiring

FINEST = 8
"""the level from which on a part is taken however wrong it is"""
SPREADING = 0.03
"""house choice: with it the error of a step is about what it is told to be, see the tests against Radau"""
DEAD = 1e-14
"""a state is dead when it adds less than this part of what the liveliest adds"""
SHORT_STRIDE = 2e-2
"""of the bends of the laws: an exponential is then met within ten microvolts"""
TOGETHER = 8
"""rows and states are filled up to a multiple of this, so that several are computed at once"""


def machine_of(wiring: Wiring, space: StateSpace, blocks: Sequence[int], tolerance_v: float) -> Machine:
    """The tables for the devices of a wiring.

    In their order, gathered into blocks of so many devices each.
    """
    ports, outer = wiring.ports, wiring.wanted.outer
    holds = _holds(space, wiring.step_s)
    read, push, reach, lift = _tables(space, holds, outer)
    low, high = quiet_of(ports, reach[0])
    keeps, trades, partner = _neighbours(space, holds)
    each = [bend for port in ports for bend in bends(port)]
    return plain(
        Machine(
            states=space.size,
            drives=outer,
            read=read,
            push=push,
            is_modal=int(space.is_modal),
            keeps=keeps,
            trades=trades,
            partner=partner,
            live=_live(read, space.size),
            reach=reach,
            lift=lift,
            effect=_effects(space, holds, reach, outer),
            block_first=_cumulated(blocks),
            code=indices([port.code for port in ports]),
            first_control=_cumulated([len(port.controls) for port in ports]),
            first_output=_cumulated([len(port.outputs) for port in ports]),
            aux=_supply_rows(wiring, space),
            quiet_low=low,
            quiet_high=high,
            bend=np.array([bend for bend, _ in each]),
            knee=np.array([knee for _, knee in each]),
            start=np.array([start for port in ports for start in starts(port)]),
            tolerance_v=tolerance_v,
            finest=FINEST,
            short_stride=SHORT_STRIDE,
        )
    )


def effect_within_step(wiring: Wiring, space: StateSpace) -> FloatArray:
    """What each remainder at the end of a step adds to everything picked (outputs, picks)."""
    whole = hold(space.a, space.b, wiring.step_s, 2)
    return np.asarray((space.c @ whole.gammas[1] + space.d)[:, wiring.wanted.outer :].T)


def quiet_of(ports: Sequence[Port], reach: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The quiet bounds of every control; `reach` (outputs, rows) is what remainders add."""
    bounds: list[tuple[float, float]] = []
    at = 0
    for port in ports:
        strongest = np.abs(reach[at : at + len(port.outputs)]).max(axis=1, initial=0.0)
        bounds += quiet_bounds(port, strongest)
        at += len(port.outputs)
    table = np.array(bounds).reshape(-1, 2)
    return table[:, 0].copy(), table[:, 1].copy()


def _cumulated(counts: Sequence[int]) -> IndexArray:
    return np.cumsum([0, *counts]).astype(np.int64)


def _holds(space: StateSpace, step_s: float) -> list[Hold]:
    """The holds of all levels, the whole step first, and that of no time at all."""
    found = [hold(space.a, space.b, step_s * 0.5 ** (LEVELS - 1), TERMS)]
    while len(found) < LEVELS:
        found.append(found[-1].doubled())
    none = np.zeros((TERMS, *space.b.shape))
    return [*found[::-1], Hold(step_s=0.0, phi=np.eye(space.size), gammas=none)]


def _supply_rows(wiring: Wiring, space: StateSpace) -> IndexArray:
    """The row of each amplifier's supply, -1 where it has none or that never moves enough to matter."""
    supplies, first = wiring.supplies, wiring.controls + len(wiring.wanted.asked)
    moves = wiring.reach_v(space).sum(axis=1) > SUPPLY_V
    rows = [-1 if port.aux is None else first + supplies.index(port.aux) for port in wiring.ports]
    return indices([row if row >= 0 and moves[row] else -1 for row in rows])


def _tables(
    space: StateSpace, holds: Sequence[Hold], outer: int
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """read, push, reach and lift, see `tables.Machine`."""
    count, outputs = space.size, space.b.shape[1] - outer
    inputs, rows, states = count + TERMS * outer + outputs, _filled(len(space.c)), _filled(count)
    read, push = np.zeros((len(holds), inputs, rows)), np.zeros((len(holds), inputs, states))
    reach, lift = np.zeros((len(holds), outputs, rows)), np.zeros((len(holds), outputs, states))
    for level, one in enumerate(holds):
        passed = _passed(one, outer)
        push[level, :, :count] = passed.T
        told = space.c @ passed
        for term in range(TERMS if level < AT_ONCE else 1):
            told[:, count + term : count + TERMS * outer : TERMS] += space.d[:, :outer]
        read[level, :, : len(space.c)] = told.T
        at_end = one.gammas[1][:, outer:]
        lift[level, :, :count] = at_end.T
        reach[level, :, : len(space.c)] = (space.c @ at_end + space.d[:, outer:]).T
    return read, push, reach, lift


def _passed(one: Hold, outer: int) -> FloatArray:
    """What all inputs of a part add to the states (states, inputs).

    The inputs: states, polynomial terms, remainders before.
    """
    count = len(one.phi)
    terms = np.stack([gamma[:, :outer] for gamma in one.gammas], axis=2).reshape(count, outer * TERMS)
    before = (one.gammas[0] - one.gammas[1])[:, outer:]
    return np.hstack([one.phi, terms, before])


def _filled(count: int) -> int:
    return -(-count // TOGETHER) * TOGETHER


def _neighbours(space: StateSpace, holds: Sequence[Hold]) -> tuple[FloatArray, FloatArray, IndexArray]:
    """How states pass to the end of a part when they touch only their neighbours: keeps, trades, partner."""
    own = np.arange(space.size)
    partner = own.copy()
    swings = np.flatnonzero(np.diag(space.a, 1)) if space.is_modal else np.array([], dtype=np.int64)
    partner[swings], partner[swings + 1] = swings + 1, swings
    keeps = np.array([one.phi[own, own] for one in holds]).reshape(len(holds), space.size)
    trades = np.array([one.phi[own, partner] * (partner != own) for one in holds])
    return keeps, trades.reshape(len(holds), space.size), partner.astype(np.int64)


def _live(read: FloatArray, count: int) -> IndexArray:
    """How many of the states (slow ones first) are felt at the end of a part, by level."""
    felt = np.abs(read[:, :count]).max(axis=2, initial=0.0)
    alive = felt > DEAD * felt.max(axis=1, keepdims=True, initial=0.0)
    last = (
        np.where(alive.any(axis=1), count - np.argmax(alive[:, ::-1], axis=1), 0)
        if count
        else np.zeros(len(read))
    )
    return last.astype(np.int64)


def _effects(space: StateSpace, holds: Sequence[Hold], reach: FloatArray, outer: int) -> FloatArray:
    """How wrong (levels, outputs) a row becomes per unit by which a remainder misses its straight line.

    A remainder with a second difference e lies e/2 x (1 - x) off the line between its ends: that is what the
    states gather. A share of the immediate effect is added for what other devices make of it within the step.
    """
    gathered = [
        np.abs(space.c @ (one.gammas[1] - one.gammas[2])[:, outer:]).max(axis=0, initial=0.0) for one in holds
    ]
    return np.asarray(0.5 * np.array(gathered) + SPREADING * np.abs(reach).max(axis=2, initial=0.0))
