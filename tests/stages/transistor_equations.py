"""Bipolar transistors by equations of these tests alone, solved by SciPy."""

from collections.abc import Callable

import numpy as np
from scipy.optimize import least_squares


def _junction(volts: float, saturation_a: float, emission: float = 1.0) -> float:
    """Shockley's law at 300.15 K, k/q of the SI."""
    return float(saturation_a * np.expm1(volts / (emission * 1.380649e-23 * 300.15 / 1.602176634e-19)))


def transport(vbe: float, vbc: float) -> tuple[float, float]:
    """Collector and base current of the 2N3904 card, transport model with Early effect (Gummel and Poon,
    simplified).
    """
    forward, reverse = _junction(vbe, 6.734e-15), _junction(vbc, 6.734e-15)
    base = forward / 416.4 + _junction(vbe, 6.734e-15, 1.259) + reverse / 0.7371
    return (forward - reverse) * (1 - vbc / 74.03) - reverse / 0.7371, base


def solved(residual: Callable[[np.ndarray], list[float]], start: list[float]) -> list[float]:
    """The root of some current equations in microamperes; it must be one to a millionth of a microampere."""
    found = least_squares(residual, start, xtol=1e-15, ftol=1e-15, gtol=1e-15, x_scale="jac")
    assert np.abs(found.fun).max() < 1e-6
    return list(found.x)
