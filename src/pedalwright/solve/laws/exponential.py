"""The exponential junction, its continuation beyond what can be computed, and the limit of a Newton step
along it.
"""

import numpy as np

from pedalwright.solve.arrays import FloatArray

LEAK_S = 1e-13
"""leakage in parallel with every junction and channel, so that a net held by reverse-biased parts alone still
has a definite voltage; real parts leak far more (1N4148: 25 nA at 20 V is 1 nS)"""

LARGEST_EXPONENT = 80.0


def exponential(argument: FloatArray) -> tuple[FloatArray, FloatArray]:
    """exp and its slope, going on as a straight line above LARGEST_EXPONENT."""
    capped = np.minimum(argument, LARGEST_EXPONENT)
    value = np.exp(capped)
    return value * (1.0 + (argument - capped)), value


def junction_current(
    volts: FloatArray, saturation_a: FloatArray, scale_v: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Current and conductance of Is (exp(V/scale) - 1), `scale_v` being the emission coefficient times
    kT/q.
    """
    value, slope = exponential(volts / scale_v)
    return saturation_a * (value - 1.0), saturation_a * slope / scale_v


KNEE_A = 1e-6
"""where a junction is first evaluated when a step takes it into conduction: below most working currents,
because Newton climbs an exponential by several kT/q a step but comes down it by one
"""


def knee_v(saturation_a: FloatArray, scale_v: FloatArray) -> FloatArray:
    """The voltage at which an exponential junction carries KNEE_A; zero for no junction at all."""
    present = saturation_a > 0.0
    ratio = KNEE_A / np.where(present, saturation_a, 1.0)
    return np.where(present, scale_v * np.log1p(ratio), 0.0)


def limited(new: FloatArray, old: FloatArray, saturation_a: FloatArray, scale_v: FloatArray) -> FloatArray:
    """Where to evaluate a junction when Newton proposes `new` after `old`: upward steps count in current, not
    voltage.

    The idea is in Nagel, ERL-M520, University of California 1975, section 4.2 (from memory).
    """
    base = np.maximum(old, knee_v(saturation_a, scale_v))
    rise = np.maximum(new - base, 0.0)
    return np.where(rise > 0.0, base + scale_v * np.log1p(rise / scale_v), new)


def soft_positive(value: FloatArray, width: float) -> tuple[FloatArray, FloatArray]:
    """A smooth max(value, 0) and its slope; the difference dies out exponentially over `width`."""
    ratio = value / width
    smooth = width * np.logaddexp(0.0, ratio)
    slope = 0.5 * (1.0 + np.tanh(0.5 * ratio))
    return smooth, slope
