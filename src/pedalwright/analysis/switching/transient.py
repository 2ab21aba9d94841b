"""What a linear network does from a given charge on: C x' + G x = b, charge kept at the first instant.

The start is one backward-Euler step of a nanosecond: capacitors in a loop share their charge in it at once,
whatever their voltages were. Two more such steps of full length damp what is faster than the steps, then the
trapezoidal rule goes on. Backward Euler and the trapezoidal rule: Gear, Numerical Initial Value Problems in
Ordinary Differential Equations, 1971 (from memory).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
FIRST_S = 1e-9
STEP_S = 10e-6
"""fine enough for the A curve, which ends at 12 kHz"""
COUNT = 6400
BLOCK = 80
"""steps that one product covers: COUNT is BLOCK times BLOCK"""


class Unstable(Exception):
    """The linear network runs away: it oscillates, and no free response can be told."""


@dataclass(frozen=True, eq=False)
class Network:
    """C x' + G x = b with `g` and `c` (size, size) and `b` (size,)."""

    g: FloatArray
    c: FloatArray
    b: FloatArray

    def rest(self) -> FloatArray:
        """Where it comes to rest (size,). Raises Unstable when it cannot."""
        try:
            found = np.linalg.solve(self.g, self.b)
        except np.linalg.LinAlgError as reason:
            raise Unstable("The network has no rest point.") from reason
        if not np.all(np.isfinite(found)):
            raise Unstable("The network has no rest point.")
        return np.asarray(found, dtype=float)

    def released(self, charge: FloatArray, row: int, *, step_s: float = STEP_S) -> FloatArray:
        """The unknown `row` from the first instant on, `COUNT` samples `step_s` apart.

        `charge` (size,) is C x as it was before: what the capacitors hold. Raises Unstable.
        """
        rest = self.rest()
        if row >= len(rest):
            return np.zeros(COUNT)  # ground
        start = np.linalg.solve(self.c / FIRST_S + self.g, charge / FIRST_S + self.b) - rest
        euler = np.linalg.solve(self.c / step_s + self.g, self.c / step_s)
        once = euler @ start
        twice = euler @ once
        moved = np.concatenate([[start[row], once[row]], self._onward(twice, row, step_s)])[:COUNT]
        largest = max(float(np.max(np.abs(start))), 1e-12)
        if not np.all(np.isfinite(moved)) or np.max(np.abs(moved)) > 1e6 * largest:
            raise Unstable("The network runs away.")
        return np.asarray(moved + rest[row])

    def _onward(self, start: FloatArray, row: int, step_s: float) -> FloatArray:
        """One unknown for COUNT trapezoidal steps, by powers of the step's matrix."""
        left = 2 * self.c / step_s + self.g
        once = np.linalg.solve(left, 2 * self.c / step_s - self.g)
        rows = np.empty((BLOCK, len(start)))
        rows[0] = np.eye(len(start))[row]
        for place in range(1, BLOCK):
            rows[place] = rows[place - 1] @ once
        with np.errstate(all="ignore"):
            leap = np.linalg.matrix_power(once, BLOCK)
            states = np.empty((len(start), BLOCK))
            states[:, 0] = start
            for place in range(1, BLOCK):
                states[:, place] = leap @ states[:, place - 1]
            return np.asarray((rows @ states).T.ravel())
