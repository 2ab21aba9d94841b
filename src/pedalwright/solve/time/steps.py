"""Steps in time, compiled: the linear part in one product, then every block of devices that is not quiet.

The linear part is exact over a step of any length; the remainders of the devices are taken for straight lines
over it, which is of second order. How far a remainder bends away from its line is seen from the step before,
and with it how wrong the step is: where that is too much, or where no solution is found, the step is made in
parts as short as it takes, down to 2^-11 of it, and in longer ones again afterwards. So a diode that opens or
an amplifier that meets its rail is followed closely without slowing everything else down, and nothing rings.
"""

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.compiled import compiled, compiled_inline
from pedalwright.solve.time.newton import solve_block, strays
from pedalwright.solve.time.remainders import D00, DV0
from pedalwright.solve.time.tables import (
    AT_ONCE,
    DEEPEST,
    FAILED,
    NOT_FINITE,
    PARTS,
    STEPS,
    TERMS,
    TICKS,
    WHERE,
    Machine,
    State,
)

DROWSY = 0.8
"""a device sleeps only this far inside its quiet bounds, so that it does not wake and sleep at every step"""
EASY = 0.125
"""below this share of the tolerance the next part may be twice as long"""
TINY = 1e-30
"""added and taken away again: what is smaller becomes nothing instead of slowing the arithmetic down"""


@compiled_inline
def predict(m: Machine, s: State, level: int) -> None:
    """States and rows at the end of a part of a step, as if the devices had no remainders at its end.

    All loops over states and rows begin at nothing: only then are several entries taken at once.
    """
    for i in range(len(s.rows)):
        s.rows[i] = 0.0
    pass_states(m, s, level)
    add_states(m, s, level)
    at = m.states
    for drive in range(m.drives):
        for term in range(TERMS):
            add_input(m, s, level, at, s.terms[drive, term])
            at += 1
    for o in range(len(s.r)):
        add_input(m, s, level, at + o, s.r[o])


@compiled_inline
def add_input(m: Machine, s: State, level: int, at: int, weight: float) -> None:
    """What one input adds to states and rows."""
    if weight != 0.0:
        for i in range(len(s.rows)):
            s.rows[i] += m.read[level, at, i] * weight
        for i in range(len(s.after)):
            s.after[i] += m.push[level, at, i] * weight


@compiled_inline
def pass_states(m: Machine, s: State, level: int) -> None:
    """What the states become by themselves."""
    if m.is_modal == 1:
        for i in range(m.states):
            s.after[i] = m.keeps[level, i] * s.z[i] + m.trades[level, i] * s.z[m.partner[i]]
    else:
        for i in range(len(s.after)):
            s.after[i] = 0.0
        for j in range(m.states):
            weight = s.z[j]
            for i in range(len(s.after)):
                s.after[i] += m.push[level, j, i] * weight


@compiled_inline
def add_states(m: Machine, s: State, level: int) -> None:
    """What the states add to the rows; four columns at a time keep the sums in registers."""
    j = 0
    count = m.live[level]
    while j + 4 <= count:
        z0, z1, z2, z3 = s.z[j], s.z[j + 1], s.z[j + 2], s.z[j + 3]
        for i in range(len(s.rows)):
            near = m.read[level, j, i] * z0 + m.read[level, j + 1, i] * z1
            far = m.read[level, j + 2, i] * z2 + m.read[level, j + 3, i] * z3
            s.rows[i] += near + far
        j += 4
    while j < count:
        weight = s.z[j]
        for i in range(len(s.rows)):
            s.rows[i] += m.read[level, j, i] * weight
        j += 1


@compiled_inline
def add_answers(m: Machine, s: State, level: int, first: int, last: int) -> None:
    """What the remainders first..last at the end of a part of a step add to states and rows."""
    for o in range(first, last):
        weight = s.r[o]
        if weight != 0.0:
            for i in range(len(s.rows)):
                s.rows[i] += m.reach[level, o, i] * weight
            for i in range(len(s.after)):
                s.after[i] += m.lift[level, o, i] * weight


@compiled_inline
def is_quiet(m: Machine, s: State, first: int, last: int) -> bool:
    """Whether all devices first..last slept and would go on sleeping."""
    quiet = True
    for d in range(first, last):
        if s.awake[d] != 0 or strays(m, s, d, 1.0):
            quiet = False
    return quiet


@compiled_inline
def settle(m: Machine, s: State, first: int, last: int) -> None:
    """Note which devices of a block just solved are awake now; the others have no remainders."""
    for d in range(first, last):
        s.awake[d] = 1 if strays(m, s, d, DROWSY) else 0
        if s.awake[d] == 0:
            for o in range(m.first_output[d], m.first_output[d + 1]):
                s.r[o] = 0.0


@compiled_inline
def bent(m: Machine, s: State, level: int, length: float, first: int, last: int) -> float:
    """By how many volts the part of a step just solved is wrong at most.

    It is wrong because remainders are no straight lines.
    """
    worst = 0.0
    for d in range(first, last):
        if s.slot[d] >= 0:
            c = m.first_control[d]
            own = abs(m.reach[level, m.first_output[d], c])
            stiff = 1.0 + own * abs(s.evaluated[d, D00]) / max(abs(s.evaluated[d, DV0]), 1e-12)
            for o in range(m.first_output[d], m.first_output[d + 1]):
                missed = abs(s.r[o] - s.before[1, o] - s.r_rate[o] * length)
                worst = max(worst, missed * m.effect[level, o] / stiff)
    return worst


@compiled_inline
def part_step(m: Machine, s: State, level: int, length: float) -> float:
    """One part of a step, from s.z and s.terms into s.z, s.rows, s.x and s.r.

    Gives its error [V], negative: no solution.
    """
    predict(m, s, level)
    wrong = 0.0
    for block in range(len(m.block_first) - 1):
        first, last = m.block_first[block], m.block_first[block + 1]
        if is_quiet(m, s, first, last):
            continue
        if not solve_block(m, s, level, length, first, last):
            s.counts[WHERE] = first
            return -1.0
        wrong = max(wrong, bent(m, s, level, length, first, last))
        add_answers(m, s, level, m.first_output[first], m.first_output[last])
        settle(m, s, first, last)
    for i in range(m.states):
        s.z[i] = s.after[i] + TINY - TINY
    return wrong


@compiled_inline
def keep(m: Machine, s: State) -> None:
    """Remember where a part of a step begins."""
    for i in range(m.states):
        s.before[0, i] = s.z[i]
    for i in range(len(s.r)):
        s.before[1, i] = s.r[i]
    for i in range(len(s.x)):
        s.before[2, i] = s.x[i]
    for i in range(len(s.awake)):
        s.before[3, i] = s.awake[i]


@compiled_inline
def go_back(m: Machine, s: State) -> None:
    """Return to where it began."""
    for i in range(m.states):
        s.z[i] = s.before[0, i]
    for i in range(len(s.r)):
        s.r[i] = s.before[1, i]
    for i in range(len(s.x)):
        s.x[i] = s.before[2, i]
    for i in range(len(s.awake)):
        s.awake[i] = int(s.before[3, i])


@compiled_inline
def note_rates(s: State, length: float) -> None:
    """How fast remainders and unknowns moved over the part just made, per whole step."""
    for o in range(len(s.r)):
        s.r_rate[o] = (s.r[o] - s.before[1, o]) / length
    for c in range(len(s.x)):
        s.x_rate[c] = (s.x[c] - s.before[2, c]) / length


@compiled_inline
def place_terms(m: Machine, s: State, start: float, width: float) -> None:
    """The polynomials of the whole step, written for the part of it that begins at `start` (0 to 1)."""
    for d in range(m.drives):
        c0, c1, c2, c3 = s.drive[d, 0], s.drive[d, 1], s.drive[d, 2], s.drive[d, 3]
        s.terms[d, 0] = c0 + start * (c1 + start * (c2 + start * c3))
        s.terms[d, 1] = width * (c1 + start * (2.0 * c2 + start * 3.0 * c3))
        s.terms[d, 2] = width * width * (c2 + start * 3.0 * c3)
        s.terms[d, 3] = width * width * width * c3


@compiled
def begin_at_once(m: Machine, s: State) -> None:
    """Find what the devices do at the first moment; where that is not found they begin with nothing."""
    keep(m, s)
    place_terms(m, s, 0.0, 1.0)
    if part_step(m, s, AT_ONCE, 1.0) < 0.0:
        go_back(m, s)
    for o in range(len(s.r)):
        s.r_rate[o] = 0.0
    for c in range(len(s.x)):
        s.x_rate[c] = 0.0
    s.level[0] = DEEPEST


@compiled_inline
def step(m: Machine, s: State) -> bool:
    """One step driven by the polynomials in `s.drive`. False when it could not be made."""
    s.counts[STEPS] += 1
    if s.level[0] == AT_ONCE:
        begin_at_once(m, s)
    level, at, made = s.level[0], 0, True
    while at < TICKS and made:
        ticks = TICKS >> level
        length = ticks / TICKS
        keep(m, s)
        place_terms(m, s, at / TICKS, length)
        wrong = part_step(m, s, level, length)
        s.counts[PARTS] += 1
        if 0.0 <= wrong <= m.tolerance_v or (wrong >= 0.0 and level >= m.finest):
            at += ticks
            note_rates(s, length)
            if wrong <= EASY * m.tolerance_v and level > 0 and at % (2 * ticks) == 0:
                level -= 1
        else:
            go_back(m, s)
            made = level < DEEPEST
            level = min(level + (1 if wrong >= 0.0 else 2), DEEPEST)
    s.level[0] = level
    if not made:
        s.counts[FAILED] += 1
        s.level[0] = 0
    if not is_finite(s.rows):
        s.counts[NOT_FINITE] += 1
        made = False
    return made


@compiled_inline
def is_finite(values: FloatArray) -> bool:
    """Whether no value is infinite or no number."""
    total = 0.0
    for i in range(len(values)):
        total += abs(values[i])
    return bool(total < np.inf)
