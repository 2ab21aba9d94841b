"""A bipolar transistor: transport model with Early effect and base-emitter recombination.

I_T = Is (exp(Vbe/Vt) - exp(Vbc/Vt)) (1 - Vbc/V_A); base current I_T's two parts over their ideal gains plus
the leak. Ebers and Moll, Proc. IRE 42, 1954; Early, Proc. IRE 40, 1952; transport form: Gummel and Poon, BSTJ
49, 1970 (memory).
"""

import numpy as np

from pedalwright.circuit.primitives import BipolarTransistor, Primitive
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.laws.exponential import LEAK_S, junction_current, knee_v, limited
from pedalwright.solve.laws.law import Conditions, Law, Parameters, transistor_slopes

SMALLEST_EARLY_FACTOR = 0.05
"""where a Newton step may leave the Early factor; no circuit in working order comes near it"""


def _parameters(part: Primitive) -> dict[str, float]:
    assert isinstance(part, BipolarTransistor)
    return {
        "saturation_a": part.saturation_a,
        "forward_beta": part.forward_beta,
        "reverse_beta": part.reverse_beta,
        "early_v": float("inf") if part.early_v is None else part.early_v,
        "leak_a": part.leak_a,
        "leak_emission": part.leak_emission,
    }


def _evaluate(w: FloatArray, p: Parameters, conditions: Conditions) -> tuple[FloatArray, FloatArray]:
    thermal = np.full_like(p["saturation_a"], conditions.thermal_v)
    vbe, vbc = w[..., 0], w[..., 1]
    forward, forward_g = junction_current(vbe, p["saturation_a"], thermal)
    reverse, reverse_g = junction_current(vbc, p["saturation_a"], thermal)
    leak, leak_g = junction_current(vbe, p["leak_a"], p["leak_emission"] * conditions.thermal_v)
    raw = 1.0 - vbc / p["early_v"]
    early = np.maximum(raw, SMALLEST_EARLY_FACTOR)
    early_slope = np.where(raw > SMALLEST_EARLY_FACTOR, -1.0 / p["early_v"], 0.0)
    i = np.empty((*vbe.shape, 3))
    g = np.zeros((*vbe.shape, 3, 2))
    i[..., 0] = (forward - reverse) * early
    i[..., 1] = forward / p["forward_beta"] + leak + LEAK_S * vbe
    i[..., 2] = reverse / p["reverse_beta"] + LEAK_S * vbc
    g[..., 0, 0] = forward_g * early
    g[..., 0, 1] = -reverse_g * early + (forward - reverse) * early_slope
    g[..., 1, 0] = forward_g / p["forward_beta"] + leak_g + LEAK_S
    g[..., 2, 1] = reverse_g / p["reverse_beta"] + LEAK_S
    return i, g


def _start(p: Parameters, conditions: Conditions) -> FloatArray:
    thermal = np.full_like(p["saturation_a"], conditions.thermal_v)
    base_emitter = knee_v(p["saturation_a"], thermal)
    return np.stack([base_emitter, np.zeros_like(base_emitter)], axis=-1)


def _limit(new: FloatArray, old: FloatArray, p: Parameters, conditions: Conditions) -> FloatArray:
    scale = np.full_like(p["saturation_a"], conditions.thermal_v)[..., None]
    return limited(new, old, p["saturation_a"][..., None], scale)


LAW = Law(
    kind=BipolarTransistor,
    controls=(("base", "emitter"), ("base", "collector")),
    outputs=(("collector", "emitter"), ("base", "emitter"), ("base", "collector")),
    parameters=_parameters,
    evaluate=_evaluate,
    start=_start,
    limit=_limit,
    small=transistor_slopes(
        through=("collector", "emitter"),
        near=("base", "emitter"),
        far=("base", "collector"),
        suffixes=("gm", "go", "gpi", "gmu"),
    ),
)
