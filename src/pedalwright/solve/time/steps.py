"""Steps in time, compiled: the linear part in one product, then every block of devices that is not quiet.

Ordinary steps treat the remainders as straight lines over the step: second order, like the trapezoidal rule, and
like it never damped. Where a device changes its mind within a step (a diode opens, an amplifier meets its rail) the
step is made again in two halves with the remainders standing still at their end values: first order and damped, so
nothing rings afterwards. Where Newton fails the step is quartered again, down to 1/2048. (Trapezoidal rule with damped
steps at discontinuities: common practice.)
"""

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.compiled import compiled_inline
from pedalwright.solve.time.codes import AMPLIFIER
from pedalwright.solve.time.newton import solve_block, strays
from pedalwright.solve.time.remainders import D00
from pedalwright.solve.time.tables import (
    FAILED,
    HALVED,
    LEVELS,
    NOT_FINITE,
    STEPS,
    TERMS,
    WHERE,
    Machine,
    State,
)

TURNED = 0.5
"""a device turns when the slope of its remainder, in loops round its own control, changes by more than this and
more than twofold within a step"""
FINE, CHANGED, LOST = range(3)
"""how a part of a step went: well, well but a device turned, without a solution"""
DROWSY = 0.8
"""a device sleeps only this far inside its quiet bounds, so that it does not wake and sleep at every step"""
TINY = 1e-30
"""added and taken away again: what is smaller becomes nothing instead of slowing the arithmetic down"""


@compiled_inline
def predict(m: Machine, s: State, level: int) -> None:
    """All rows at the end of a part of a step, as if the devices had no remainders at its end."""
    for i in range(len(s.rows)):
        s.rows[i] = 0.0
    add_states(m, s, level)
    at = m.states
    for drive in range(m.drives):
        for term in range(TERMS):
            weight = s.terms[drive, term]
            if weight != 0.0:
                for i in range(len(s.rows)):
                    s.rows[i] += m.table[level, at, i] * weight
            at += 1
    if level == 0:
        for o in range(len(s.r)):
            weight = s.r[o]
            if weight != 0.0:
                for i in range(len(s.rows)):
                    s.rows[i] += m.table[0, at + o, i] * weight


@compiled_inline
def add_states(m: Machine, s: State, level: int) -> None:
    """What the states at the beginning add to all rows; four columns at a time keep the sums in registers."""
    j = 0
    while j + 4 <= m.states:
        z0, z1, z2, z3 = s.z[j], s.z[j + 1], s.z[j + 2], s.z[j + 3]
        for i in range(len(s.rows)):
            near = m.table[level, j, i] * z0 + m.table[level, j + 1, i] * z1
            far = m.table[level, j + 2, i] * z2 + m.table[level, j + 3, i] * z3
            s.rows[i] += near + far
        j += 4
    while j < m.states:
        weight = s.z[j]
        for i in range(len(s.rows)):
            s.rows[i] += m.table[level, j, i] * weight
        j += 1


@compiled_inline
def add_answers(m: Machine, s: State, level: int, first: int, last: int) -> None:
    """What the remainders first..last at the end of a part of a step add to all rows."""
    for o in range(first, last):
        weight = s.r[o]
        if weight != 0.0:
            for i in range(len(s.rows)):
                s.rows[i] += m.answer[level, o, i] * weight


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
    """Note which devices are awake now; the unknowns of the others wait where their controls are."""
    for d in range(first, last):
        s.awake[d] = 1 if strays(m, s, d, DROWSY) else 0
        if s.awake[d] == 0:
            s.slopes[d] = 0.0
            for c in range(m.first_control[d], m.first_control[d + 1]):
                s.x[c] = 0.0 if m.code[d] == AMPLIFIER else s.rows[m.states + c]
                s.x_before[c] = s.x[c]
            for o in range(m.first_output[d], m.first_output[d + 1]):
                s.r[o] = 0.0


@compiled_inline
def turned(m: Machine, s: State, level: int, first: int, last: int) -> bool:
    """Whether a device of a block just solved changed its mind; keeps the new slopes."""
    found = False
    for d in range(first, last):
        now, was = s.evaluated[d, D00] if s.slot[d] >= 0 else 0.0, s.slopes[d]
        loop = abs(m.answer[level, m.first_output[d], m.states + m.first_control[d]])
        less = min(abs(now), abs(was))
        if loop * abs(now - was) > TURNED * (1.0 + loop * less):
            found = True
        s.slopes[d] = now
    return found


@compiled_inline
def part_step(m: Machine, s: State, level: int) -> int:
    """One part of a step, from s.z and s.terms into s.z, s.rows, s.x, s.r; says FINE, CHANGED or LOST."""
    predict(m, s, level)
    outcome = FINE
    for block in range(len(m.block_first) - 1):
        first, last = m.block_first[block], m.block_first[block + 1]
        if is_quiet(m, s, first, last):
            settle(m, s, first, last)
            continue
        if not solve_block(m, s, level, first, last):
            s.counts[WHERE] = first
            return LOST
        if turned(m, s, level, first, last):
            outcome = CHANGED
        add_answers(m, s, level, m.first_output[first], m.first_output[last])
        settle(m, s, first, last)
    for i in range(m.states):
        s.z[i] = s.rows[i] + TINY - TINY
    return outcome


@compiled_inline
def keep(m: Machine, s: State) -> None:
    """Remember where a step began."""
    for i in range(m.states):
        s.before[0, i] = s.z[i]
    for i in range(len(s.r)):
        s.before[1, i] = s.r[i]
    for i in range(len(s.x)):
        s.before[2, i] = s.x[i]
        s.before[5, i] = s.x_before[i]
    for i in range(len(s.slopes)):
        s.before[3, i] = s.slopes[i]
        s.before[4, i] = s.awake[i]


@compiled_inline
def go_back(m: Machine, s: State) -> None:
    """Return to where the step began."""
    for i in range(m.states):
        s.z[i] = s.before[0, i]
    for i in range(len(s.r)):
        s.r[i] = s.before[1, i]
    for i in range(len(s.x)):
        s.x[i] = s.before[2, i]
        s.x_before[i] = s.before[5, i]
    for i in range(len(s.slopes)):
        s.slopes[i] = s.before[3, i]
        s.awake[i] = int(s.before[4, i])


@compiled_inline
def place_terms(m: Machine, s: State, part: int, level: int) -> None:
    """The polynomials of the whole step, written for one part of 2^-level of it."""
    width = 1.0 / (1 << level)
    start = part * width
    for d in range(m.drives):
        c0, c1, c2, c3 = s.drive[d, 0], s.drive[d, 1], s.drive[d, 2], s.drive[d, 3]
        s.terms[d, 0] = c0 + start * (c1 + start * (c2 + start * c3))
        s.terms[d, 1] = width * (c1 + start * (2.0 * c2 + start * 3.0 * c3))
        s.terms[d, 2] = width * width * (c2 + start * 3.0 * c3)
        s.terms[d, 3] = width * width * width * c3


@compiled_inline
def step(m: Machine, s: State) -> bool:
    """One step driven by the polynomials in `s.drive`. False when it could not be made."""
    keep(m, s)
    s.counts[STEPS] += 1
    level, part = 0, 0
    while part < 1 << level:
        place_terms(m, s, part, level)
        outcome = part_step(m, s, level)
        if outcome == FINE or (outcome == CHANGED and level > 0):
            part += 1
        elif level + 2 < LEVELS:
            go_back(m, s)
            s.counts[HALVED] += 1
            level, part = level + (1 if level == 0 else 2), 0
        else:
            go_back(m, s)
            s.counts[FAILED] += 1
            return False
    for i in range(len(s.x)):
        s.x_before[i] = s.before[2, i]
    if not is_finite(s.z):
        s.counts[NOT_FINITE] += 1
        return False
    return True


@compiled_inline
def is_finite(values: FloatArray) -> bool:
    """Whether no value is infinite or no number."""
    total = 0.0
    for i in range(len(values)):
        total += abs(values[i])
    return bool(total < np.inf)
