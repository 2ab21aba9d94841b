"""A device's own supply current: constant above its knee, a parabola below, resistive when the supply is
reversed.
"""

import numpy as np

from pedalwright.circuit.primitives import Primitive, SupplyDraw
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.laws.law import Conditions, Law, Parameters, no_limit, own_slope


def _parameters(part: Primitive) -> dict[str, float]:
    assert isinstance(part, SupplyDraw)
    return {"dc_a": part.dc_a, "knee_v": part.knee_v}


def _evaluate(w: FloatArray, p: Parameters, conditions: Conditions) -> tuple[FloatArray, FloatArray]:
    fraction = np.minimum(w[..., 0] / p["knee_v"], 1.0)
    bent = np.maximum(fraction, 0.0)
    current = p["dc_a"] * (2.0 * fraction - bent**2)
    slope = 2.0 * p["dc_a"] * (1.0 - bent) / p["knee_v"]
    return current[..., None], slope[..., None, None]


def _start(p: Parameters, conditions: Conditions) -> FloatArray:
    return (p["knee_v"] + 0.0 * p["dc_a"])[..., None] * 2.0


LAW = Law(
    kind=SupplyDraw,
    controls=(("plus", "minus"),),
    outputs=(("plus", "minus"),),
    parameters=_parameters,
    evaluate=_evaluate,
    start=_start,
    limit=no_limit,
    small=(own_slope("g", ("plus", "minus")),),
)
