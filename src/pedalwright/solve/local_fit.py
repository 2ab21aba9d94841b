"""What happens between two sampled frequencies: a small rational function through the points around them.

Responses of lumped circuits are rational functions of frequency with real coefficients; over a few
neighbouring points
two poles and two zeros follow them to many digits, where a polynomial would not.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

ComplexArray = NDArray[np.complex128]
FloatArray = NDArray[np.float64]
SIDE_POINTS = 3
HALVINGS = 40


def local_response(frequency_hz: FloatArray, gain: ComplexArray, place: int) -> Callable[[float], complex]:
    """A function of frequency in hertz that follows `gain` between points `place` and `place` + 1."""
    start = int(np.clip(place - SIDE_POINTS + 1, 0, len(gain) - 2 * SIDE_POINTS))
    chosen = slice(start, start + 2 * SIDE_POINTS)
    middle = float(np.sqrt(frequency_hz[place] * frequency_hz[place + 1]))
    x, h = 1j * frequency_hz[chosen] / middle, gain[chosen]
    size = np.abs(h)[:, None]
    columns = np.stack([np.ones_like(x), x, x * x, -h * x, -h * x * x], axis=1) / size
    right = h / size[:, 0]
    real = np.concatenate([columns.real, columns.imag])
    a0, a1, a2, b1, b2 = np.linalg.lstsq(real, np.concatenate([right.real, right.imag]), rcond=None)[0]

    def response(hz: float) -> complex:
        at = 1j * hz / middle
        return complex((a0 + at * (a1 + at * a2)) / (1.0 + at * (b1 + at * b2)))

    return response


def crossing_hz(
    frequency_hz: FloatArray, gain: ComplexArray, place: int, measure: Callable[[complex], float]
) -> float:
    """The frequency between points `place` and `place` + 1 where `measure` of the response changes sign."""
    response = local_response(frequency_hz, gain, place)
    low, high = np.log(frequency_hz[place]), np.log(frequency_hz[place + 1])
    sign = measure(complex(gain[place])) > 0
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        if (measure(response(float(np.exp(middle)))) > 0) == sign:
            low = middle
        else:
            high = middle
    return float(np.exp(0.5 * (low + high)))
