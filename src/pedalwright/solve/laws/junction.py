"""An exponential diode, with breakdown when it is given."""

import numpy as np

from pedalwright.circuit.primitives import Junction, Primitive
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.laws.exponential import LEAK_S, exponential, junction_current, knee_v, limited
from pedalwright.solve.laws.law import Conditions, Law, Parameters, own_slope

BREAKDOWN_A = 1e-3
"""the current flowing backwards when the reverse voltage equals `breakdown_v`; house choice near a Zener's
test current"""


NEVER_V = 1e30


def _parameters(part: Primitive) -> dict[str, float]:
    assert isinstance(part, Junction)
    breakdown = NEVER_V if part.breakdown_v is None else part.breakdown_v
    return {"saturation_a": part.saturation_a, "emission": part.emission, "breakdown_v": breakdown}


def _evaluate(w: FloatArray, p: Parameters, conditions: Conditions) -> tuple[FloatArray, FloatArray]:
    volts = w[..., 0]
    scale = p["emission"] * conditions.thermal_v
    forward, slope = junction_current(volts, p["saturation_a"], scale)
    # The breakdown bends with kT/q, whatever the forward emission coefficient.
    backward, back_slope = exponential(-(volts + p["breakdown_v"]) / conditions.thermal_v)
    current = forward - BREAKDOWN_A * backward + LEAK_S * volts
    conductance = slope + BREAKDOWN_A * back_slope / conditions.thermal_v + LEAK_S
    return current[..., None], conductance[..., None, None]


def _start(p: Parameters, conditions: Conditions) -> FloatArray:
    return knee_v(p["saturation_a"], p["emission"] * conditions.thermal_v)[..., None]


def _limit(new: FloatArray, old: FloatArray, p: Parameters, conditions: Conditions) -> FloatArray:
    scale = p["emission"] * conditions.thermal_v
    forward = limited(new[..., 0], old[..., 0], p["saturation_a"], scale)
    beyond, beyond_before = (-(w[..., 0] + p["breakdown_v"]) for w in (new, old))
    thermal = np.full_like(scale, conditions.thermal_v)
    backward = limited(beyond, beyond_before, np.full_like(scale, BREAKDOWN_A), thermal)
    return np.where(beyond > 0.0, -backward - p["breakdown_v"], forward)[..., None]


LAW = Law(
    kind=Junction,
    controls=(("anode", "cathode"),),
    outputs=(("anode", "cathode"),),
    parameters=_parameters,
    evaluate=_evaluate,
    start=_start,
    limit=_limit,
    small=(own_slope("gd", ("anode", "cathode")),),
)
