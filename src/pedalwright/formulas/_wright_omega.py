"""The Wright omega function: the w for which w + ln w = x, that is W(exp x) without the overflow."""

from typing import Any

import numpy as np

_ROUNDS = 6


def wright_omega(x: Any) -> Any:
    """The real solution of w + ln w = x, for floats and arrays; relative error below 1e-14.

    Halley steps on a start that is right at both ends; below -50 the solution is exp(x) itself.
    """
    x = np.asarray(x, dtype=float)
    floor = np.maximum(x, -50.0)
    w = np.where(floor < 1.0, np.exp(np.minimum(floor, 1.0)) * 0.7, floor - np.log(np.maximum(floor, 1.0)))
    for _ in range(_ROUNDS):
        miss = w + np.log(w) - floor
        # Halley's step for f = w + ln w - x, kept positive.
        step = miss * w * (1 + w) / ((1 + w) ** 2 + miss / 2)
        w = np.maximum(w - step, w * 1e-3)
    return np.where(x < -50.0, np.exp(np.minimum(x, -50.0)), w)
