"""The kinds of number the formulas take, and the elementary functions that serve floats and arrays alike."""

import math
from collections.abc import Iterable
from typing import Any, TypeAlias, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

Phasor: TypeAlias = complex | NDArray[np.complex128]
"""A complex number or an array of them: complex frequency, impedance, admittance or transfer ratio."""

Value = TypeVar("Value", float, complex, NDArray[np.complex128])
"""One kind of number throughout: real arguments give a real result, arrays of one shape an array of it."""


def admittance(*groups: Iterable[Value]) -> Value:
    """The admittance of impedances side by side; a plain zero when there are none."""
    return cast(Value, sum(1 / impedance for group in groups for impedance in group))


def plain(result: Any) -> float:
    """A Python float for a scalar result; arrays pass unchanged (the annotations name the scalar case)."""
    return cast(float, result if np.ndim(result) else float(result))


def sqrt(x: float) -> float:
    """Square root, "not a number" below zero."""
    with np.errstate(invalid="ignore"):
        return plain(np.sqrt(x))


def ln(x: float) -> float:
    """Natural logarithm, "not a number" below zero."""
    with np.errstate(invalid="ignore", divide="ignore"):
        return plain(np.log(x))


def exp(x: float) -> float:
    """Exponential; overflow gives infinity."""
    with np.errstate(over="ignore", under="ignore"):
        return plain(np.exp(x))


def where(condition: Any, x: Any, otherwise: Any = math.nan) -> float:
    """`x` where the condition holds, else "not a number" or the other value."""
    return plain(np.where(condition, x, otherwise))
