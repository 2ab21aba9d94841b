"""One block of devices solved at the end of a step, compiled.

The equations are v(x) = p + K r(x), solved by Newton with limited strides.

Only devices that are not quiet take part. Which those are is guessed from the last step and checked
afterwards: a device that was taken for quiet and is not joins in, and the solution goes on.
"""

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.compiled import compiled, compiled_inline
from pedalwright.solve.laws.junction import BREAKDOWN_A
from pedalwright.solve.time import codes
from pedalwright.solve.time.remainders import D00, D01, DV0, DV1, R0, STEEP, V0, V1, remainder
from pedalwright.solve.time.tables import ITERATIONS, SOLVED, Machine, State

MOST_ITERATIONS = 80
PATIENCE, CAREFUL = 16, 0.4
"""after so many strides that went to and fro only this share of each is made"""
SHORT = 0.02
"""of a bend: the logarithm of so short a stride is the stride"""
LEAP = 4.0
"""a straight guess from the last part of a step is taken when it leaps less than this many bends of the
law"""


@compiled_inline
def limited(m: Machine, s: State, d: int, c: int, new: float) -> float:
    """Where to evaluate an unknown next when Newton says `new`.

    Upward strides along an exponential count in current, not volts (Nagel 1975, as at rest); an amplifier's
    bend does not change sign in one stride.
    """
    old = s.x[c]
    if m.knee[c] < new:
        base = max(old, m.knee[c])
        if new <= base + SHORT * m.bend[c]:
            return new
        return float(base + m.bend[c] * np.log1p((new - base) / m.bend[c]))
    if m.code[d] == codes.AMPLIFIER and c == m.first_control[d]:
        return 0.0 if new * old < 0.0 else held_back(s, d, new, old)
    if m.code[d] == codes.JUNCTION:
        return backward(s.figures[d, 2] + s.figures[d, 4], s.figures[d, 3], new, old)
    return new


@compiled_inline
def held_back(s: State, d: int, new: float, old: float) -> float:
    """An amplifier's next bend: what it still waits for may change by one bend of its slew law at most."""
    hungry_v = s.figures[d, 3]
    if hungry_v <= 0.0:
        return new
    longest = hungry_v / s.evaluated[d, STEEP]
    return float(min(max(new, old - longest), old + longest))


@compiled
def backward(breakdown_v: float, thermal_v: float, new: float, old: float) -> float:
    """The same for a junction breaking down, `breakdown_v` below where its unknown is zero."""
    beyond, before = -(new + breakdown_v), -(old + breakdown_v)
    knee = thermal_v * np.log1p(1e-6 / BREAKDOWN_A)
    base = max(before, knee)
    if beyond <= base:
        return new
    return float(-(base + thermal_v * np.log1p((beyond - base) / thermal_v)) - breakdown_v)


@compiled_inline
def join(m: Machine, s: State, d: int, size: int) -> int:
    """Let a device take part; gives how many controls there are now.

    One that wakes begins at the edge of where it was quiet, an amplifier where it rests.
    """
    s.slot[d] = size
    if s.awake[d] == 0:
        for c in range(m.first_control[d], m.first_control[d + 1]):
            inside = min(max(s.rows[c], m.quiet_low[c]), m.quiet_high[c])
            s.x[c] = m.start[c] if m.code[d] == codes.AMPLIFIER else inside
    return int(size + m.first_control[d + 1] - m.first_control[d])


@compiled_inline
def begin(m: Machine, s: State, length: float, first: int, last: int) -> int:
    """Choose who takes part, and from where; gives the number of controls."""
    size = 0
    for d in range(first, last):
        s.slot[d] = -1
        if s.awake[d] != 0:
            size = join(m, s, d, size)
            for c in range(m.first_control[d], m.first_control[d + 1]):
                leap = s.x_rate[c] * length
                if abs(leap) < LEAP * m.bend[c]:
                    s.x[c] += leap
    if size == 0:
        for d in range(first, last):
            if strays(m, s, d, 1.0):
                size = join(m, s, d, size)
    return size


@compiled_inline
def strays(m: Machine, s: State, d: int, share: float) -> bool:
    """Whether a control of a device is outside this share of its quiet bounds."""
    found = False
    for c in range(m.first_control[d], m.first_control[d + 1]):
        v = s.rows[c]
        if not m.quiet_low[c] * share < v < m.quiet_high[c] * share:
            found = True
    return found


@compiled_inline
def evaluate(m: Machine, s: State, first: int, last: int) -> None:
    """The devices that take part at their unknowns, into `s.evaluated`."""
    for d in range(first, last):
        if s.slot[d] >= 0:
            c = m.first_control[d]
            x1 = s.x[c + 1] if m.first_control[d + 1] - c > 1 else 0.0
            aux = s.rows[m.aux[d]] if m.aux[d] >= 0 else 0.0
            remainder(m.code[d], s.figures, d, s.x[c], x1, aux, s.evaluated, d)


@compiled_inline
def place_own(m: Machine, s: State, first: int, last: int, size: int) -> None:
    """Begin misfit and matrix with what controls are and what they would be."""
    for i in range(size):
        for j in range(size):
            s.matrix[i, j] = 0.0
    for d in range(first, last):
        at = s.slot[d]
        if at >= 0:
            c = m.first_control[d]
            s.misfit[at] = s.evaluated[d, V0] - s.rows[c]
            s.matrix[at, at] = s.evaluated[d, DV0]
            if m.first_control[d + 1] - c > 1:
                s.misfit[at + 1] = s.evaluated[d, V1] - s.rows[c + 1]
                s.matrix[at + 1, at + 1] = s.evaluated[d, DV1]


@compiled_inline
def place_remainders(m: Machine, s: State, level: int, first: int, last: int) -> None:
    """Take off what every remainder does to every control."""
    for d in range(first, last):
        at = s.slot[d]
        if at >= 0:
            double = m.first_control[d + 1] - m.first_control[d] > 1
            for o in range(m.first_output[d], m.first_output[d + 1]):
                second = o - m.first_output[d]
                r, d0 = s.evaluated[d, R0 + second], s.evaluated[d, D00 + 2 * second]
                d1 = s.evaluated[d, D01 + 2 * second]
                s.r[o] = r
                for other in range(first, last):
                    place = s.slot[other]
                    if place >= 0:
                        for c in range(m.first_control[other], m.first_control[other + 1]):
                            k = m.reach[level, o, c]
                            s.misfit[place] -= k * r
                            s.matrix[place, at] -= k * d0
                            if double:
                                s.matrix[place, at + 1] -= k * d1
                            place += 1


@compiled_inline
def stride(m: Machine, s: State, first: int, last: int, share: float) -> float:
    """Move the unknowns by a share of what is in `s.misfit`.

    Gives how much of their laws' bend all of it is.
    """
    longest = 0.0
    for d in range(first, last):
        at = s.slot[d]
        if at >= 0:
            for c in range(m.first_control[d], m.first_control[d + 1]):
                new = limited(m, s, d, c, s.x[c] - s.misfit[at])
                s.misfit[at] = share * (new - s.x[c])
                longest = max(longest, abs(new - s.x[c]) / m.bend[c])
                s.x[c] += s.misfit[at]
                at += 1
    return longest


@compiled_inline
def follow(m: Machine, s: State, first: int, last: int) -> None:
    """After a last short stride: the remainders move along their tangents."""
    for d in range(first, last):
        at = s.slot[d]
        if at >= 0:
            for o in range(m.first_output[d], m.first_output[d + 1]):
                second = o - m.first_output[d]
                s.r[o] += s.evaluated[d, D00 + 2 * second] * s.misfit[at]
                if m.first_control[d + 1] - m.first_control[d] > 1:
                    s.r[o] += s.evaluated[d, D01 + 2 * second] * s.misfit[at + 1]


@compiled_inline
def newcomers(m: Machine, s: State, level: int, first: int, last: int, size: int) -> int:
    """Let the devices join that turn out not to be quiet; gives the number of controls then."""
    found = size
    for d in range(first, last):
        if s.slot[d] < 0:
            for c in range(m.first_control[d], m.first_control[d + 1]):
                v = s.rows[c]
                for other in range(first, last):
                    if 0 <= s.slot[other] < size:
                        for o in range(m.first_output[other], m.first_output[other + 1]):
                            v += m.reach[level, o, c] * s.r[o]
                if not m.quiet_low[c] < v < m.quiet_high[c] and s.slot[d] < 0:
                    found = join(m, s, d, found)
    return found


@compiled_inline
def solve_block(m: Machine, s: State, level: int, length: float, first: int, last: int) -> bool:
    """Solve one block of devices; `s.rows` holds what its controls would be without its own remainders.

    Leaves x and r in the state. False when no solution was found.
    """
    for o in range(m.first_output[first], m.first_output[last]):
        s.r[o] = 0.0
    size = begin(m, s, length, first, last)
    s.counts[SOLVED] += 1
    for attempt in range(MOST_ITERATIONS):
        s.counts[ITERATIONS] += 1
        evaluate(m, s, first, last)
        place_own(m, s, first, last, size)
        place_remainders(m, s, level, first, last)
        if not eliminate(s.matrix, s.misfit, size):
            return False
        longest = stride(m, s, first, last, 1.0 if attempt < PATIENCE else CAREFUL)
        if not longest < np.inf:
            return False
        if longest <= m.short_stride:
            follow(m, s, first, last)
            grown = newcomers(m, s, level, first, last, size)
            if grown == size:
                return True
            size = grown
    return False


@compiled
def eliminate(  # noqa: C901 - one textbook algorithm, and calls cost more than its sums
    matrix: FloatArray, right: FloatArray, size: int
) -> bool:
    """Solve a small system in place, pivots by rows; the solution is left in `right`. False: singular."""
    for k in range(size):
        pivot = k
        for i in range(k + 1, size):
            if abs(matrix[i, k]) > abs(matrix[pivot, k]):
                pivot = i
        if matrix[pivot, k] == 0.0:
            return False
        if pivot != k:
            for j in range(k, size):
                matrix[k, j], matrix[pivot, j] = matrix[pivot, j], matrix[k, j]
            right[k], right[pivot] = right[pivot], right[k]
        inverse = 1.0 / matrix[k, k]
        for i in range(k + 1, size):
            factor = matrix[i, k] * inverse
            if factor != 0.0:
                for j in range(k + 1, size):
                    matrix[i, j] -= factor * matrix[k, j]
                right[i] -= factor * right[k]
    for k in range(size - 1, -1, -1):
        for j in range(k + 1, size):
            right[k] -= matrix[k, j] * right[j]
        right[k] /= matrix[k, k]
    return True
