"""A linear circuit that does not run away within a step, for amplifiers whose rest point is a knife's edge.

An amplifier with positive feedback (a comparator with hysteresis, a flip-flop) rests where it could never
stay. Its tangent there would grow by e to the thirty within one step. Such amplifiers are given the tangent
of one that has hardly any gain; what the real one does besides is its remainder, solved at every step.
"""

import numpy as np

from pedalwright.circuit.primitives import ClippingAmplifier
from pedalwright.solve.linear import SmallSignal
from pedalwright.solve.time.state_space import state_space

GENTLE_GAIN = 0.5
STUCK_GAIN = 0.5
"""an amplifier with less gain than this rests at a rail"""
GROWTH = 0.5
"""the largest exponent by which a linear circuit may grow within a step"""


def tamed(small: SmallSignal, step_s: float) -> SmallSignal:
    """The circuit, with the fewest amplifiers it takes made gentle; itself when nothing grows that fast."""
    left = [
        part.name
        for part in small.system.primitives
        if isinstance(part, ClippingAmplifier) and f"{part.name}/gain" in small.names
    ]
    worst = _growth(small, step_s)
    while worst * step_s > GROWTH and left:
        tried = {name: gentle(small, name) for name in left}
        growth = {name: _growth(one, step_s) for name, one in tried.items()}
        best = min(left, key=lambda name: growth[name])
        small, worst = tried[best], growth[best]
        left.remove(best)
    return small


def unstuck(small: SmallSignal) -> SmallSignal:
    """The circuit with amplifiers that rest at a rail made gentle: by their tangent they never leave it."""
    for part in small.system.primitives:
        name = f"{part.name}/gain"
        if (
            isinstance(part, ClippingAmplifier)
            and name in small.names
            and abs(small.parameter(name)) < STUCK_GAIN
        ):
            small = gentle(small, part.name)
    return small


def gentle(small: SmallSignal, name: str) -> SmallSignal:
    """The circuit with one amplifier's tangent flattened and its supply's say taken away."""
    return small.with_changes({f"{name}/gain": GENTLE_GAIN, f"{name}/supply": 0.0})


def _growth(small: SmallSignal, step_s: float) -> float:
    """The largest real part of a pole [1/s], of those that do not follow at once."""
    nothing = np.zeros((small.size, 0))
    rates = state_space(small, nothing, nothing.T, 1e-6 * step_s).a
    return float(np.linalg.eigvals(rates).real.max(initial=0.0))
