"""A square-law field-effect transistor, symmetric in drain and source, with gate junctions when it has them.

I = beta (max(Vgs - Vto, 0)^2 - max(Vgd - Vto, 0)^2)(1 + lambda |Vds|): the usual triode and saturation laws
in one line. Shichman and Hodges, IEEE J. Solid-State Circuits SC-3, 1968 (from memory).
"""

import numpy as np

from pedalwright.circuit.primitives import FieldEffectTransistor, Primitive
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.laws.exponential import LEAK_S, junction_current, limited
from pedalwright.solve.laws.law import Conditions, Law, Parameters, transistor_slopes


def _parameters(part: Primitive) -> dict[str, float]:
    assert isinstance(part, FieldEffectTransistor)
    return {
        "beta": part.beta,
        "threshold_v": part.threshold_v,
        "modulation": part.modulation,
        "gate_saturation_a": part.gate_saturation_a,
        "gate_emission": part.gate_emission,
    }


def _evaluate(w: FloatArray, p: Parameters, conditions: Conditions) -> tuple[FloatArray, FloatArray]:
    vgs, vgd = w[..., 0], w[..., 1]
    vds = vgs - vgd
    near = np.maximum(vgs - p["threshold_v"], 0.0)
    far = np.maximum(vgd - p["threshold_v"], 0.0)
    square = p["beta"] * (near**2 - far**2)
    stretch = 1.0 + p["modulation"] * np.abs(vds)
    bend = square * p["modulation"] * np.sign(vds)
    gate_scale = p["gate_emission"] * conditions.thermal_v
    has_gate = p["gate_saturation_a"] > 0.0
    leak = np.where(has_gate, LEAK_S, 0.0)
    gate_s, gate_s_g = junction_current(vgs, p["gate_saturation_a"], gate_scale)
    gate_d, gate_d_g = junction_current(vgd, p["gate_saturation_a"], gate_scale)
    i = np.stack([square * stretch + LEAK_S * vds, gate_s + leak * vgs, gate_d + leak * vgd], axis=-1)
    g = np.zeros((*vgs.shape, 3, 2))
    g[..., 0, 0] = 2.0 * p["beta"] * near * stretch + bend + LEAK_S
    g[..., 0, 1] = -2.0 * p["beta"] * far * stretch - bend - LEAK_S
    g[..., 1, 0] = gate_s_g + leak
    g[..., 2, 1] = gate_d_g + leak
    return i, g


def _start(p: Parameters, conditions: Conditions) -> FloatArray:
    zero = np.zeros_like(p["beta"])
    on = np.maximum(p["threshold_v"] + 1.0, 0.0)
    # A gate junction must not be started deep in conduction.
    bounded = np.where(p["gate_saturation_a"] > 0.0, np.minimum(on, 0.0), on)
    return np.stack([bounded + zero, np.minimum(p["threshold_v"], 0.0) + zero], axis=-1)


def _limit(new: FloatArray, old: FloatArray, p: Parameters, conditions: Conditions) -> FloatArray:
    saturation = p["gate_saturation_a"][..., None]
    scale = (p["gate_emission"] * conditions.thermal_v)[..., None]
    return np.where(saturation > 0.0, limited(new, old, saturation, scale), new)


LAW = Law(
    kind=FieldEffectTransistor,
    controls=(("gate", "source"), ("gate", "drain")),
    outputs=(("drain", "source"), ("gate", "source"), ("gate", "drain")),
    parameters=_parameters,
    evaluate=_evaluate,
    start=_start,
    limit=_limit,
    small=transistor_slopes(
        through=("drain", "source"),
        near=("gate", "source"),
        far=("gate", "drain"),
        suffixes=("gm", "gds", "ggs", "ggd"),
    ),
)
