"""The laws of the nonlinear parts, written again and apart from the solver's, for one moment in time.

Only the figures are shared with `pedalwright.solve.laws`: leaks, knees, the slopes at which curves go on
straight. Every law takes the controls (parts, controls) of its parts and gives their outputs (parts, outputs)
with the slopes (parts, outputs, controls). Regulators and amplifiers give volts, the others amperes.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pedalwright.circuit.primitives import (
    BipolarTransistor,
    ClippingAmplifier,
    FieldEffectTransistor,
    Junction,
    Primitive,
    RegulatedOutput,
    SupplyDraw,
)
from pedalwright.solve.laws.amplifier import OVERDRIVE_SLOPE, SMALLEST_SWING_V, SWING_KNEE_V
from pedalwright.solve.laws.bipolar import SMALLEST_EARLY_FACTOR
from pedalwright.solve.laws.exponential import LARGEST_EXPONENT, LEAK_S
from pedalwright.solve.laws.junction import BREAKDOWN_A
from pedalwright.solve.laws.regulator import KNEE_V

Floats = NDArray[np.float64]
Evaluated = tuple[Floats, Floats]
Pair = tuple[str, str]
EQUATION = "(its own equation)"
"""stands for the row of a part's own equation where an output is not a current between two nets"""


@dataclass(frozen=True, kw_only=True)
class ReferenceLaw:
    """Which fields of a primitive control it, between which its outputs flow, and the law for many parts."""

    kind: type[Primitive]
    controls: tuple[Pair, ...]
    outputs: tuple[Pair, ...]
    fields: tuple[str, ...]
    evaluate: Callable[[Floats, Mapping[str, Floats], float], Evaluated]

    def figures(self, parts: Sequence[Primitive]) -> dict[str, Floats]:
        """The figures of all parts (parts,); what is not given is infinite."""
        table = [[getattr(part, field) for field in self.fields] for part in parts]
        filled = [[np.inf if value is None else float(value) for value in row] for row in table]
        return dict(zip(self.fields, np.array(filled).T, strict=True))


def exponential(argument: Floats) -> Evaluated:
    """exp and slope; a straight line beyond the largest exponent."""
    over = np.maximum(argument - LARGEST_EXPONENT, 0.0)
    slope = np.exp(argument - over)
    return slope * (1.0 + over), slope


def soft_ramp(value: Floats, width_v: float) -> Evaluated:
    """width ln(1 + exp(value/width)) and its slope."""
    ratio = np.clip(value / width_v, -700.0, 700.0)
    return width_v * np.logaddexp(0.0, value / width_v), 1.0 / (1.0 + np.exp(-ratio))


def _diode(c: Floats, p: Mapping[str, Floats], thermal_v: float) -> Evaluated:
    volts, scale_v = c[:, 0], p["emission"] * thermal_v
    ahead, ahead_slope = exponential(volts / scale_v)
    limit_v = np.minimum(p["breakdown_v"], 1e30)
    back, back_slope = exponential(-(volts + limit_v) / thermal_v)
    amperes = p["saturation_a"] * (ahead - 1.0) - BREAKDOWN_A * back + LEAK_S * volts
    siemens = p["saturation_a"] * ahead_slope / scale_v + BREAKDOWN_A * back_slope / thermal_v + LEAK_S
    return amperes[:, None], siemens[:, None, None]


def _bipolar(c: Floats, p: Mapping[str, Floats], thermal_v: float) -> Evaluated:
    vbe, vbc = c[:, 0], c[:, 1]
    forward, forward_slope = exponential(vbe / thermal_v)
    reverse, reverse_slope = exponential(vbc / thermal_v)
    leak_v = p["leak_emission"] * thermal_v
    leak, leak_slope = exponential(vbe / leak_v)
    width = 1.0 - vbc / p["early_v"]
    early = np.maximum(width, SMALLEST_EARLY_FACTOR)
    early_slope = np.where(width > SMALLEST_EARLY_FACTOR, -1.0 / p["early_v"], 0.0)
    scale_s = p["saturation_a"] / thermal_v
    amperes = np.stack(
        [
            p["saturation_a"] * (forward - reverse) * early,
            p["saturation_a"] / p["forward_beta"] * (forward - 1.0)
            + p["leak_a"] * (leak - 1.0)
            + LEAK_S * vbe,
            p["saturation_a"] / p["reverse_beta"] * (reverse - 1.0) + LEAK_S * vbc,
        ],
        axis=1,
    )
    siemens = np.zeros((len(c), 3, 2))
    siemens[:, 0, 0] = scale_s * forward_slope * early
    siemens[:, 0, 1] = p["saturation_a"] * (forward - reverse) * early_slope - scale_s * reverse_slope * early
    siemens[:, 1, 0] = (
        scale_s / p["forward_beta"] * forward_slope + p["leak_a"] / leak_v * leak_slope + LEAK_S
    )
    siemens[:, 2, 1] = scale_s / p["reverse_beta"] * reverse_slope + LEAK_S
    return amperes, siemens


def _field_effect(c: Floats, p: Mapping[str, Floats], thermal_v: float) -> Evaluated:
    vgs, vgd = c[:, 0], c[:, 1]
    vds = vgs - vgd
    source_side, drain_side = (np.maximum(v - p["threshold_v"], 0.0) for v in (vgs, vgd))
    longer = 1.0 + p["modulation"] * np.abs(vds)
    plain = p["beta"] * (source_side**2 - drain_side**2)
    swing = p["modulation"] * np.sign(vds) * plain
    gate_v = p["gate_emission"] * thermal_v
    leak_s = np.where(p["gate_saturation_a"] > 0.0, LEAK_S, 0.0)
    gates = [exponential(v / gate_v) for v in (vgs, vgd)]
    gate_a = [
        p["gate_saturation_a"] * (e - 1.0) + leak_s * v for (e, _), v in zip(gates, (vgs, vgd), strict=True)
    ]
    siemens = np.zeros((len(c), 3, 2))
    siemens[:, 0, 0] = 2.0 * p["beta"] * source_side * longer + swing + LEAK_S
    siemens[:, 0, 1] = -2.0 * p["beta"] * drain_side * longer - swing - LEAK_S
    siemens[:, 1, 0] = p["gate_saturation_a"] * gates[0][1] / gate_v + leak_s
    siemens[:, 2, 1] = p["gate_saturation_a"] * gates[1][1] / gate_v + leak_s
    return np.stack([plain * longer + LEAK_S * vds, *gate_a], axis=1), siemens


def _supply_draw(c: Floats, p: Mapping[str, Floats], thermal_v: float) -> Evaluated:
    share = np.minimum(c[:, 0] / p["knee_v"], 1.0)
    inside = np.maximum(share, 0.0)
    amperes = p["dc_a"] * (2.0 * share - inside * inside)
    return amperes[:, None], (2.0 * p["dc_a"] * (1.0 - inside) / p["knee_v"])[:, None, None]


def _regulator(c: Floats, p: Mapping[str, Floats], thermal_v: float) -> Evaluated:
    """What to add to output - ground + ohms times current, so that the sum is zero."""
    offered, offered_slope = soft_ramp(c[:, 0] - p["dropout_v"], KNEE_V)
    missing, missing_slope = soft_ramp(p["volts"] - offered, KNEE_V)
    return (missing - p["volts"])[:, None], -(missing_slope * offered_slope)[:, None, None]


def rails(supply_v: Floats, p: Mapping[str, Floats]) -> tuple[Floats, Floats, Floats, Floats]:
    """Half swing and lowest output above the negative rail, each followed by its slope against the supply."""
    headroom_v = p["high_headroom_v"] + p["low_headroom_v"]
    soft, soft_slope = soft_ramp(0.5 * (supply_v - headroom_v), SWING_KNEE_V)
    alive = soft > SMALLEST_SWING_V
    half_v, half_slope = np.where(alive, soft, SMALLEST_SWING_V), np.where(alive, 0.5 * soft_slope, 0.0)
    usable, usable_slope = soft_ramp(supply_v, SWING_KNEE_V)
    short, short_slope = soft_ramp(headroom_v - usable, SWING_KNEE_V)
    share = p["low_headroom_v"] / np.maximum(headroom_v, 1e-9)
    return half_v, half_slope, p["low_headroom_v"] - share * short, share * short_slope * usable_slope


def bend(z: Floats, gain: Floats) -> Evaluated:
    """atanh and its slope; a straight line where that slope has reached gain times OVERDRIVE_SLOPE."""
    steepest = gain * OVERDRIVE_SLOPE
    edge = np.sqrt(1.0 - 1.0 / steepest)
    inner = np.clip(z, -edge, edge)
    return np.arctanh(inner) + steepest * (z - inner), 1.0 / (1.0 - inner * inner)


def _amplifier(c: Floats, p: Mapping[str, Floats], thermal_v: float) -> Evaluated:
    """What is left of the input difference to move the output [V]; controls: difference, output, supply."""
    difference, output, supply = c[:, 0], c[:, 1], c[:, 2]
    half_v, half_slope, low_v, low_slope = rails(supply, p)
    z = (output - low_v) / half_v - 1.0
    bent, bent_slope = bend(z, p["dc_gain"])
    z_slope = -(low_slope + (z + 1.0) * half_slope) / half_v
    left = difference - half_v * bent / p["dc_gain"]
    slopes = np.stack(
        [
            np.ones_like(left),
            -bent_slope / p["dc_gain"],
            -(half_slope * bent + half_v * bent_slope * z_slope) / p["dc_gain"],
        ],
        axis=1,
    )
    with np.errstate(invalid="ignore"):
        slewing_v = p["slew_v_per_s"] / (2.0 * np.pi * p["gain_bandwidth_hz"])
    limited = np.isfinite(slewing_v) & (slewing_v > 0.0)
    safe_v = np.where(limited, slewing_v, 1.0)
    soft = np.tanh(left / safe_v)
    moved = np.where(limited, safe_v * soft, left)
    eased = np.where(limited, 1.0 - soft * soft, 1.0)
    return moved[:, None], (slopes * eased[:, None])[:, None, :]


LAWS = (
    ReferenceLaw(
        kind=Junction,
        controls=(("anode", "cathode"),),
        outputs=(("anode", "cathode"),),
        fields=("saturation_a", "emission", "breakdown_v"),
        evaluate=_diode,
    ),
    ReferenceLaw(
        kind=BipolarTransistor,
        controls=(("base", "emitter"), ("base", "collector")),
        outputs=(("collector", "emitter"), ("base", "emitter"), ("base", "collector")),
        fields=("saturation_a", "forward_beta", "reverse_beta", "early_v", "leak_a", "leak_emission"),
        evaluate=_bipolar,
    ),
    ReferenceLaw(
        kind=FieldEffectTransistor,
        controls=(("gate", "source"), ("gate", "drain")),
        outputs=(("drain", "source"), ("gate", "source"), ("gate", "drain")),
        fields=("beta", "threshold_v", "modulation", "gate_saturation_a", "gate_emission"),
        evaluate=_field_effect,
    ),
    ReferenceLaw(
        kind=SupplyDraw,
        controls=(("plus", "minus"),),
        outputs=(("plus", "minus"),),
        fields=("dc_a", "knee_v"),
        evaluate=_supply_draw,
    ),
    ReferenceLaw(
        kind=RegulatedOutput,
        controls=(("input", "ground"),),
        outputs=((EQUATION, EQUATION),),
        fields=("volts", "dropout_v"),
        evaluate=_regulator,
    ),
    ReferenceLaw(
        kind=ClippingAmplifier,
        controls=(
            ("non_inverting", "inverting"),
            ("output", "negative_rail"),
            ("positive_rail", "negative_rail"),
        ),
        outputs=((EQUATION, EQUATION),),
        fields=("dc_gain", "gain_bandwidth_hz", "high_headroom_v", "low_headroom_v", "slew_v_per_s"),
        evaluate=_amplifier,
    ),
)
