"""What the response becomes when one value changes, exactly, for many changes at the price of one.

A value enters by theta r c^T, so a change of theta by d gives x' = x - A^-1 r (d c^T x)/(1 + d c^T A^-1 r):
Sherman and Morrison, Ann. Math. Statist. 21, 1950 (from memory). Infinite resistance and infinite weight are
allowed: open and short.
"""

from collections.abc import Sequence

import numpy as np

from pedalwright.solve.arrays import ComplexArray, FloatArray, IndexArray, indices
from pedalwright.solve.certificate import ERROR_BOUND, Certificate, NotCertified
from pedalwright.solve.direct import matrices
from pedalwright.solve.entry import Enters
from pedalwright.solve.linear import SmallSignal
from pedalwright.solve.response import Drive, drive_vector
from pedalwright.solve.system import weights_of

BLOCK_NUMBERS = 4_000_000


def change_each(
    small: SmallSignal,
    drive: Drive,
    outputs: Sequence[str],
    frequencies_hz: FloatArray,
    changes: Sequence[tuple[str, float]],
    *,
    open_delays: bool = False,
) -> ComplexArray:
    """The voltages (changes, frequencies, outputs) [V] after each change (name, new value) alone.

    The rest point stays as it is. A resistance may become 0 or infinite, and so may every other value as far
    as its weight has a meaning. Not a number where the changed circuit has no solution. Raises KeyError for
    unknown names, NotCertified when the unchanged circuit cannot be solved well enough to start from.
    """
    places = indices([small.element(name) for name, _ in changes])
    new = np.array([value for _, value in changes], dtype=float)
    with np.errstate(divide="ignore"):
        moved = weights_of(small.kinds[places], new[None])[0] - small.weights[places]
    b = drive_vector(small, drive)
    rows = indices([small.row(net) for net in outputs])
    s = 2j * np.pi * np.atleast_1d(np.asarray(frequencies_hz, dtype=float))
    found = np.empty((len(places), len(s), len(rows)), dtype=np.complex128)
    block = max(1, BLOCK_NUMBERS // max(1, small.size**2))
    for at in range(0, len(s), block):
        piece = slice(at, at + block)
        inverse, x = _solved(small, b, s[piece], delays=not open_delays)
        for number, place in enumerate(places):
            found[number, piece] = _changed(small, int(place), moved[number], s[piece], inverse, x, rows)
    return found


def _solved(
    small: SmallSignal, b: ComplexArray, s: ComplexArray, *, delays: bool
) -> tuple[ComplexArray, ComplexArray]:
    """Inverses (frequencies, size + 1, size + 1), the last row and column being ground's zeros, and
    unknowns.
    """
    a = matrices(small, s, delays=delays)
    inverse = np.zeros((len(s), small.size + 1, small.size + 1), dtype=np.complex128)
    try:
        inverse[:, : small.size, : small.size] = np.linalg.inv(a)
    except np.linalg.LinAlgError:
        raise NotCertified(_bad(float("inf"))) from None
    x = np.matmul(inverse[:, :, : small.size], b)
    left = np.abs(np.matmul(a, x[:, : small.size, None])[..., 0] - b).max(initial=0.0)
    top = np.abs(np.matmul(np.abs(a), np.abs(x[:, : small.size, None]))).max(initial=1e-300)
    if not left <= ERROR_BOUND * top:
        raise NotCertified(_bad(float(left / top)))
    return inverse, x


def _bad(residual: float) -> Certificate:
    return Certificate(residual_a=residual, condition=float("inf"), iterations=1, method="inverse")


def _changed(
    small: SmallSignal,
    place: int,
    moved: float,
    s: ComplexArray,
    inverse: ComplexArray,
    x: ComplexArray,
    rows: IndexArray,
) -> ComplexArray:
    """The outputs (frequencies, outputs) after one change of weight."""
    stamps = small.stamps
    row_plus, row_minus = stamps.row_plus[place], stamps.row_minus[place]
    column_plus, column_minus = stamps.column_plus[place], stamps.column_minus[place]
    reply = inverse[:, :, row_plus] - inverse[:, :, row_minus]
    seen = x[:, column_plus] - x[:, column_minus]
    own = reply[:, column_plus] - reply[:, column_minus]
    rate = s if small.kinds[place] > Enters.IN_G else np.ones_like(s)
    with np.errstate(all="ignore"):
        factor = 1.0 / own if np.isinf(moved) else moved * rate / (1.0 + moved * rate * own)
        return np.asarray(x[:, rows] - reply[:, rows] * (factor * seen)[:, None])
