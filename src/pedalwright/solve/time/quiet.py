"""Where a device's remainder is too small to matter, so that a step need not look at it."""

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.time import codes
from pedalwright.solve.time.devices import Port
from pedalwright.solve.time.remainders import PLACES, R0, V0, remainder

QUIET_V = 1e-7
"""a remainder that moves no net by more than this is nothing: 140 dB below one volt, because slow oscillators
gather what is left out"""
QUIET_AMPLIFIER_V = 2e-6
"""of an amplifier's remainder, which its own loop holds down: 114 dB below one volt"""
WIDEST_V = 1e3
NEVER = (0.0, 0.0)
"""bounds between which nothing lies"""
WIDTHS_V = np.geomspace(1.0, 1e-4, 17)
GRID = np.linspace(-1.0, 1.0, 9)

Bounds = tuple[tuple[float, float], ...]


def quiet_bounds(port: Port, effect_v: FloatArray) -> Bounds:
    """For each control of a device the bounds (changes from rest) between which it is quiet.

    `effect_v` (outputs,) is how many volts each output's remainder moves the net it moves most.
    """
    if port.code == codes.CONDUCTANCE:
        # At rest it is what the linear part has it for; it will be something else when its knob is turned.
        return (NEVER,)
    if port.code == codes.AMPLIFIER:
        return _amplifier(port, float(effect_v[0]))
    if len(port.controls) == 2:
        return _square(port, effect_v)
    return (tuple(_edge(port, float(effect_v[0]), sign) for sign in (-1.0, 1.0)),)  # type: ignore[return-value]


def _remainder(port: Port, x0: float, x1: float = 0.0) -> FloatArray:
    out = np.zeros((1, PLACES))
    remainder(port.code, port.figures[None], 0, x0, x1, 0.0, out, 0)
    return np.asarray(out[0])


def _edge(port: Port, effect_v: float, sign: float) -> float:
    """How far a control may go one way: halved in until the remainder is small, all the way there."""
    width = WIDEST_V
    while width > 1e-7:
        tried = sign * width * np.array([0.03, 0.1, 0.3, 1.0])
        if all(abs(_remainder(port, float(v))[R0]) * effect_v < QUIET_V for v in tried):
            return float(sign * width)
        width *= 0.7
    return 0.0


def _square(port: Port, effect_v: FloatArray) -> Bounds:
    """One width for both controls of a transistor."""
    count = len(effect_v)
    for width in WIDTHS_V:
        tried = (_remainder(port, width * a, width * b) for a in GRID for b in GRID)
        if all((np.abs(out[R0 : R0 + count]) * effect_v < QUIET_V).all() for out in tried):
            return ((-width, width),) * 2
    return (NEVER, NEVER)


def _amplifier(port: Port, effect_v: float) -> Bounds:
    """The output as far as its bend stays small; the input difference as far as slew does."""
    p = port.figures
    slewless = p.copy()
    slewless[3] = 0.0
    bounds = []
    for sign in (-1.0, 1.0):
        found = 0.0
        for bend in np.geomspace(3.0, 1e-3, 60):
            out = np.zeros((1, PLACES))
            remainder(port.code, slewless[None], 0, sign * bend, 0.0, 0.0, out, 0)
            if abs(out[0, R0]) * effect_v < QUIET_AMPLIFIER_V:
                found = float(out[0, V0])
                break
        bounds.append(found)
    low, high = (bounds[0], bounds[1]) if bounds[0] < 0.0 < bounds[1] else NEVER
    if len(port.controls) == 1:
        return ((low, high),)
    # e - e_s tanh(e/e_s) is e^3 / (3 e_s^2) for small e.
    reach = (3.0 * QUIET_AMPLIFIER_V / max(effect_v, 1e-30)) ** (1.0 / 3.0) * p[3] ** (2.0 / 3.0)
    return ((low, high), (-reach, reach))
