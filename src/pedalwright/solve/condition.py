"""How much an answer magnifies a relative error in its equations."""

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.equations import STILL, Aid, Equations

ROUNDING = 4.0 * float(np.finfo(np.float64).eps)
"""relative error allowed for in each term of an equation as it is evaluated"""


def condition_at(batch: Equations, x: FloatArray) -> tuple[float, float]:
    """Condition and relative error bound of the first variant at `x` (1, size + 1), floating nets out of
    account.

    With the Jacobian J and the residual F at `x`: the condition is Skeel's, | |J^-1| |J| |x| | / |x| in the
    largest norm (J. ACM 26, 1979, from memory), which unlike the common condition number does not change when
    an equation is written in other units; the bound is | |J^-1| (|F| + ROUNDING |J| |x|) | / |x|. Both
    infinite when J is singular.
    """
    counted, unknowns = batch.system.firm, x[0, : batch.system.size]
    if not counted.any():
        return 1.0, 0.0
    with np.errstate(all="ignore"):
        residual, jacobian = batch.evaluate(x, batch.controls(x), Aid())
        try:
            inverse = np.abs(np.linalg.inv(jacobian[0]))
        except np.linalg.LinAlgError:
            return float("inf"), float("inf")
        terms = np.abs(jacobian[0]) @ np.abs(unknowns)
        top = max(float(np.abs(unknowns[counted]).max()), STILL)
        condition = float((inverse @ terms)[counted].max()) / top
        bound = float((inverse @ (np.abs(residual[0]) + ROUNDING * terms))[counted].max()) / top
    return _definite(condition), _definite(bound)


def _definite(number: float) -> float:
    return number if np.isfinite(number) else float("inf")
