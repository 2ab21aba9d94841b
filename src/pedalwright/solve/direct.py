"""The plain way: the matrix of each frequency, solved."""

import numpy as np

from pedalwright.solve.arrays import ComplexArray
from pedalwright.solve.linear import SmallSignal

BLOCK_NUMBERS = 4_000_000


def delayed(small: SmallSignal, s: ComplexArray) -> ComplexArray:
    """What the delayed copies add to the matrix at each frequency (frequencies, size, size)."""
    extra = np.zeros((len(s), small.size + 1, small.size + 1), dtype=np.complex128)
    for delay in small.delays:
        late = delay.gain * np.exp(-s * delay.delay_s)
        extra[:, delay.branch, delay.input] -= late
        extra[:, delay.branch, delay.reference] += late
    found = extra[:, : small.size, : small.size]
    return np.swapaxes(found, 1, 2) if small.is_turned else found


def matrices(small: SmallSignal, s: ComplexArray, *, delays: bool) -> ComplexArray:
    """G + s C at each frequency (frequencies, size, size), with the delayed copies or with their outputs
    still.
    """
    a = small.g + s[:, None, None] * small.c
    return a + delayed(small, s) if delays and small.delays else a


def solve_all(small: SmallSignal, b: ComplexArray, s: ComplexArray, *, delays: bool) -> ComplexArray:
    """The unknowns (size, frequencies) for a drive `b` (size,); nan at frequencies where the matrix is
    singular.
    """
    x = np.empty((small.size, len(s)), dtype=np.complex128)
    block = max(1, BLOCK_NUMBERS // max(1, small.size**2))
    for at in range(0, len(s), block):
        a = matrices(small, s[at : at + block], delays=delays)
        x[:, at : at + block] = solve_each_complex(a, b).T
    return x


def solve_each_complex(a: ComplexArray, b: ComplexArray) -> ComplexArray:
    """The solutions (frequencies, size) of matrices (frequencies, size, size); a singular one's is all
    nan.
    """
    try:
        return np.asarray(np.linalg.solve(a, b[None, :, None])[..., 0])
    except np.linalg.LinAlgError:
        return np.stack([_solve_one(one, b) for one in a])


def _solve_one(a: ComplexArray, b: ComplexArray) -> ComplexArray:
    try:
        return np.asarray(np.linalg.solve(a, b))
    except np.linalg.LinAlgError:
        return np.full(len(b), np.nan, dtype=np.complex128)


def skeel_at(small: SmallSignal, x: ComplexArray, s: ComplexArray, *, delays: bool) -> float:
    """The largest Skeel condition number at the lowest, the middle and the highest frequency."""
    if not len(s) or not small.size:
        return 1.0
    order = np.argsort(np.abs(s))
    chosen = order[[0, len(order) // 2, -1]]
    a = matrices(small, s[chosen], delays=delays)
    try:
        inverse = np.linalg.inv(a)
    except np.linalg.LinAlgError:
        return float("inf")
    size = np.abs(x[:, chosen].T)
    spread = np.matmul(np.abs(inverse), np.matmul(np.abs(a), size[..., None]))[..., 0].max(axis=1)
    top = np.maximum(size.max(axis=1), 1e-300)
    worst = float((spread / top).max())
    return worst if np.isfinite(worst) else float("inf")
