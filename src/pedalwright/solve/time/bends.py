"""How strongly each unknown of a device bends its law: what Newton must know to stride along it."""

import numpy as np

from pedalwright.solve.time import codes
from pedalwright.solve.time.devices import Port
from pedalwright.solve.time.remainders import swing

KNEE_A = 1e-6
"""the current from which on an exponential is climbed in strides of current (as at rest)"""
SQUARE_V = 0.1
"""of a square law without a gate junction, and of laws that are nearly straight"""
AMPLIFIER_BEND = 0.1
"""less than the 1 of a hyperbolic tangent: its output is volts, not tens of millivolts"""
NO_KNEE = float("inf")


def bends(port: Port) -> tuple[tuple[float, float], ...]:
    """For each control the bend of its law and where it begins to climb.

    That is the value of the unknown from which on it climbs an exponential.
    """
    p = port.figures
    if port.code == codes.JUNCTION:
        return (_exponential(p[0], p[1], p[4]),)
    if port.code == codes.BIPOLAR:
        return _exponential(p[0], p[1], p[7]), _exponential(p[0], p[1], p[8])
    if port.code == codes.FIELD_EFFECT:
        if p[3] <= 0.0:
            return ((SQUARE_V, NO_KNEE),) * 2
        return _exponential(p[3], p[4], p[5]), _exponential(p[3], p[4], p[6])
    if port.code == codes.AMPLIFIER:
        return ((AMPLIFIER_BEND, NO_KNEE), (max(p[3], 1e-3), NO_KNEE))[: len(port.controls)]
    return ((SQUARE_V, NO_KNEE),)


def _exponential(saturation_a: float, scale_v: float, rest_v: float) -> tuple[float, float]:
    return scale_v, float(scale_v * np.log1p(KNEE_A / saturation_a) - rest_v)


def starts(port: Port) -> tuple[float, ...]:
    """For each control where its unknown begins: an amplifier's bend as at rest, which is large at a rail."""
    if port.code != codes.AMPLIFIER:
        return (0.0,) * len(port.controls)
    p = port.figures
    half_v, _ = swing(p[1], p[2], p[5])
    return (-p[7] * p[0] / half_v, 0.0)[: len(port.controls)]
