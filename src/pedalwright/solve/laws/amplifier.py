"""A clipping amplifier, written backwards: the input difference an output voltage needs.

v+ - v- = (S/A) atanh((v_out - mid)/S), S and mid from the supply nets. Written forwards, v_out = S tanh(A
v_d/S), Newton jumps from rail to rail. Above a slope of OVERDRIVE_SLOPE the curve goes on as a straight line,
because 4 V of overdrive would need atanh(1 - exp(-400000)). When the supply is smaller than the headrooms,
the swing shrinks to SMALLEST_SWING_V around a point between the supply nets.
"""

import numpy as np

from pedalwright.circuit.primitives import ClippingAmplifier, Primitive
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.laws.exponential import soft_positive
from pedalwright.solve.laws.law import BRANCH, GROUND, Conditions, Law, Parameters, SmallTerm

OVERDRIVE_SLOPE = 1e6
SMALLEST_SWING_V = 1e-4
SWING_KNEE_V = 0.01
APPROACH = 0.001
"""the part of the distance to the rail that a Newton step must leave"""


def _parameters(part: Primitive) -> dict[str, float]:
    assert isinstance(part, ClippingAmplifier)
    return {
        "dc_gain": part.dc_gain,
        "high_headroom_v": part.high_headroom_v,
        "low_headroom_v": part.low_headroom_v,
    }


def _swing(supply: FloatArray, p: Parameters) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Half swing S and lower limit above the negative net, with their slopes against the supply voltage."""
    headroom = p["high_headroom_v"] + p["low_headroom_v"]
    soft, soft_slope = soft_positive(0.5 * (supply - headroom), SWING_KNEE_V)
    half = np.maximum(soft, SMALLEST_SWING_V)
    half_slope = np.where(soft > SMALLEST_SWING_V, 0.5 * soft_slope, 0.0)
    usable, usable_slope = soft_positive(supply, SWING_KNEE_V)
    short, short_slope = soft_positive(headroom - usable, SWING_KNEE_V)
    share = p["low_headroom_v"] / np.maximum(headroom, 1e-9)
    low = p["low_headroom_v"] - share * short
    return half, half_slope, low, share * short_slope * usable_slope


def _gain(p: Parameters, conditions: Conditions) -> FloatArray:
    return np.minimum(p["dc_gain"], conditions.gain_cap)


def _bend(z: FloatArray, gain: FloatArray) -> tuple[FloatArray, FloatArray]:
    """atanh and its slope, going on as a straight line where the slope has reached gain times
    OVERDRIVE_SLOPE.
    """
    steepest = gain * OVERDRIVE_SLOPE
    edge = np.sqrt(1.0 - 1.0 / steepest)
    inside = np.clip(z, -edge, edge)
    return np.arctanh(inside) + (z - inside) * steepest, 1.0 / (1.0 - inside**2)


def _evaluate(w: FloatArray, p: Parameters, conditions: Conditions) -> tuple[FloatArray, FloatArray]:
    half, half_slope, low, low_slope = _swing(w[..., 1], p)
    gain = _gain(p, conditions)
    z = (w[..., 0] - low) / half - 1.0
    bent, bent_slope = (z, np.ones_like(z)) if conditions.straight else _bend(z, gain)
    term = half * bent / gain
    against_half = (bent - bent_slope * (z + 1.0)) / gain
    against_supply = against_half * half_slope - bent_slope * low_slope / gain
    return -term[..., None], -np.stack([bent_slope / gain, against_supply], axis=-1)[..., None, :]


def _start(p: Parameters, conditions: Conditions) -> FloatArray:
    supply = np.full_like(p["dc_gain"], conditions.supply_guess_v)
    half, _, low, _ = _swing(supply, p)
    return np.stack([low + half, supply], axis=-1)


def _limit(new: FloatArray, old: FloatArray, p: Parameters, conditions: Conditions) -> FloatArray:
    if conditions.straight:
        return new
    half, _, low, _ = _swing(new[..., 1], p)
    half_before, _, low_before, _ = _swing(old[..., 1], p)
    z = (new[..., 0] - low) / half - 1.0
    before = np.clip((old[..., 0] - low_before) / half_before - 1.0, -1.0, 1.0)
    slack = np.maximum(1.0 - np.maximum(before * np.sign(z), 0.0), 0.0)
    free = slack <= 1.0 / (_gain(p, conditions) * OVERDRIVE_SLOPE)
    edge = 1.0 - APPROACH * slack
    kept = np.where(free, z, np.clip(z, -edge, edge))
    return np.stack([low + half * (kept + 1.0), new[..., 1]], axis=-1)


LAW = Law(
    kind=ClippingAmplifier,
    controls=(("output", "negative_rail"), ("positive_rail", "negative_rail")),
    outputs=((BRANCH, GROUND),),
    parameters=_parameters,
    evaluate=_evaluate,
    start=_start,
    limit=_limit,
    small=(
        SmallTerm(
            suffix="gain",
            rows=(BRANCH, GROUND),
            columns=("output", "negative_rail"),
            value=lambda g: g[..., 0, 0],
            inverse=True,
        ),
        SmallTerm(
            suffix="supply",
            rows=(BRANCH, GROUND),
            columns=("positive_rail", "negative_rail"),
            value=lambda g: g[..., 0, 1],
        ),
    ),
)
