"""One block of devices solved at the end of a step: v(x) = p + K r(x), by Newton with limited strides, compiled."""

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.compiled import compiled, compiled_inline
from pedalwright.solve.laws.junction import BREAKDOWN_A
from pedalwright.solve.time import codes
from pedalwright.solve.time.remainders import D00, D01, DV0, DV1, R0, V0, V1, remainder
from pedalwright.solve.time.tables import ITERATIONS, SOLVED, Machine, State

MOST_ITERATIONS = 60
KNEE_A = 1e-6
"""below this current a junction's stride is free: it counts in volts, above it in current"""


@compiled
def stride(new: float, old: float, saturation: float, scale: float, rest: float) -> float:
    """Where to evaluate a junction next: upward strides count in current (Nagel 1975, as at rest)."""
    if saturation <= 0.0:
        return new
    knee = scale * np.log1p(KNEE_A / saturation) - rest
    base = max(old, knee)
    if new <= base:
        return new
    return base + scale * np.log1p((new - base) / scale)


@compiled
def limited(code: int, p: FloatArray, d: int, which: int, new: float, old: float) -> float:
    """The same for any device's unknown."""
    if code == codes.JUNCTION:
        back = -(new + p[d, 4]) - p[d, 2]
        if back > 0.0:
            before = -(old + p[d, 4]) - p[d, 2]
            return -stride(back, before, BREAKDOWN_A, p[d, 3], 0.0) - p[d, 4] - p[d, 2]
        return stride(new, old, p[d, 0], p[d, 1], p[d, 4])
    if code == codes.BIPOLAR:
        return stride(new, old, p[d, 0], p[d, 1], p[d, 7 + which])
    if code == codes.FIELD_EFFECT:
        return stride(new, old, p[d, 3], p[d, 4], p[d, 5 + which])
    if code == codes.AMPLIFIER and which == 0 and new * old < 0.0:
        return 0.0
    return new


@compiled_inline
def evaluate_block(m: Machine, s: State, first: int, last: int) -> None:
    """The devices first..last at the unknowns of the state, into `s.evaluated`."""
    for d in range(first, last):
        at = m.first_control[d]
        x1 = s.x[at + 1] if m.first_control[d + 1] - at > 1 else 0.0
        aux = s.rows[m.aux[d]] if m.aux[d] >= 0 else 0.0
        remainder(m.code[d], s.figures, d, s.x[at], x1, aux, s.evaluated, d - first)


@compiled_inline
def gather_block(m: Machine, s: State, level: int, first: int, last: int) -> float:
    """Misfit and its slopes for a block just evaluated; gives the largest misfit."""
    c0 = m.first_control[first]
    size, top = m.first_control[last] - c0, m.states + c0
    for i in range(size):
        s.misfit[i] = -s.rows[top + i]
        for j in range(size):
            s.matrix[i, j] = 0.0
    for d in range(first, last):
        at, more = m.first_control[d] - c0, m.first_control[d + 1] - m.first_control[d]
        e = d - first
        s.misfit[at] += s.evaluated[e, V0]
        s.matrix[at, at] += s.evaluated[e, DV0]
        if more > 1:
            s.misfit[at + 1] += s.evaluated[e, V1]
            s.matrix[at + 1, at + 1] += s.evaluated[e, DV1]
        for o in range(m.first_output[d], m.first_output[d + 1]):
            second = o - m.first_output[d]
            r, d0, d1 = s.evaluated[e, R0 + second], s.evaluated[e, D00 + 2 * second], s.evaluated[e, D01 + 2 * second]
            s.r[o] = r
            for i in range(size):
                k = m.answer[level, o, top + i]
                s.misfit[i] -= k * r
                s.matrix[i, at] -= k * d0
                if more > 1:
                    s.matrix[i, at + 1] -= k * d1
    worst = 0.0
    for i in range(size):
        size_of = abs(s.misfit[i])
        if not size_of <= worst:
            worst = size_of
    return worst


@compiled_inline
def solve_block(m: Machine, s: State, level: int, first: int, last: int) -> bool:
    """Solve one block of devices; `s.rows` holds what its controls would be without its own remainders.

    Leaves x and r in the state. False when no solution was found.
    """
    c0 = m.first_control[first]
    size = m.first_control[last] - c0
    s.counts[SOLVED] += 1
    for _ in range(MOST_ITERATIONS):
        s.counts[ITERATIONS] += 1
        evaluate_block(m, s, first, last)
        worst = gather_block(m, s, level, first, last)
        if worst <= m.tolerance_v:
            return True
        if not np.isfinite(worst) or not eliminate(s.matrix, s.misfit, size):
            return False
        for d in range(first, last):
            at = m.first_control[d]
            for which in range(m.first_control[d + 1] - at):
                old = s.x[at + which]
                new = old - s.misfit[at + which - c0]
                s.x[at + which] = limited(m.code[d], s.figures, d, which, new, old)
    return False


@compiled
def eliminate(matrix: FloatArray, right: FloatArray, size: int) -> bool:
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
