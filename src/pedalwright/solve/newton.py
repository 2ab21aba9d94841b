"""Newton's method on many variants at once; variants that have settled drop out of the work."""

from dataclasses import dataclass

import numpy as np

from pedalwright.solve.arrays import BoolArray, FloatArray
from pedalwright.solve.equations import Aid, Controls, Equations, solve_each

VOLT_STEP = 1e-7
"""a variant has settled when no net and no control moves by more than this, absolutely or relative to its
largest voltage [V]; the last step is taken and checked afterwards, and squares what error is left
"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class State:
    """Where every variant stands: unknowns `x` (variants, size + 1), controls `w`, and whether it has
    settled.
    """

    x: FloatArray
    w: Controls
    settled: BoolArray
    iterations: int = 0

    def usable(self) -> BoolArray:
        """Which variants hold numbers at all."""
        return np.asarray(np.isfinite(self.x).all(axis=1))


def newton(equations: Equations, start: State, aid: Aid, limit: int) -> State:
    """At most `limit` steps from `start`.

    A variant that meets a singular matrix stays where it was, not settled.
    """
    x, w = start.x.copy(), tuple(array.copy() for array in start.w)
    settled = np.zeros(len(x), dtype=bool)
    active = np.arange(len(x))
    now, iterations = equations, 0
    while len(active) and iterations < limit:
        iterations += 1
        at_x, at_w, fine, rest = _step(now, x[active], tuple(array[active] for array in w), aid.take(active))
        good = active[fine]
        x[good] = at_x[fine]
        for array, new in zip(w, at_w, strict=True):
            array[good] = new[fine]
        settled[active[fine & rest]] = True
        remaining = fine & ~rest
        if not remaining.all():
            active = active[remaining]
            now = equations.take(active)
    return State(x=x, w=w, settled=settled, iterations=start.iterations + iterations)


def _step(
    now: Equations, x: FloatArray, w: Controls, aid: Aid
) -> tuple[FloatArray, Controls, BoolArray, BoolArray]:
    """One step of all variants: new unknowns and controls, which of them are numbers, and which have come to
    rest.
    """
    size, nodes = now.system.size, now.system.node_count
    residual, jacobian = now.evaluate(x, w, aid)
    step = -solve_each(jacobian, residual)
    x[:, :size] += step
    wanted = now.controls(x)
    allowed = now.limited(wanted, w)
    moved = [np.abs(step[:, :nodes]).max(axis=1, initial=0.0)]
    # The laws must have been evaluated where the unknowns now want them.
    for new, old in zip(wanted, w, strict=True):
        moved.append(np.abs(new - old).reshape(len(x), -1).max(axis=1, initial=0.0))
    largest = np.abs(x[:, :nodes]).max(axis=1, initial=1.0)
    rest: BoolArray = np.maximum.reduce(moved) <= VOLT_STEP * np.maximum(largest, 1.0)
    return x, allowed, np.asarray(np.isfinite(x).all(axis=1)), rest
