"""What a nonlinear part does beyond its own tangent at rest, one part at a time, compiled.

Each law takes unknowns x0, x1 and gives, into row `at` of `out`: the controls v0, v1 they stand for (as
changes from rest), how these move with x0 and x1, the remainders r0, r1 (currents, or volts in a branch
equation) and the four slopes dr/dx. For all but amplifiers x is v itself. An amplifier's x0 is its bend,
atanh of how far the output is towards its rails: it stays a definite number when the output has stopped. The
laws are those of `solve.laws`, with two outputs a transistor (its third current is their sum) and with slew,
which rest and small signals do not know: the output moves at e_s tanh(e / e_s) where a linear amplifier moves
at e, the input difference not yet answered.
"""

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.compiled import compiled
from pedalwright.solve.laws.amplifier import SMALLEST_SWING_V, SWING_KNEE_V
from pedalwright.solve.laws.bipolar import SMALLEST_EARLY_FACTOR
from pedalwright.solve.laws.exponential import LARGEST_EXPONENT, LEAK_S
from pedalwright.solve.laws.junction import BREAKDOWN_A
from pedalwright.solve.laws.regulator import KNEE_V
from pedalwright.solve.time import codes

V0, V1, DV0, DV1, R0, R1, D00, D01, D10, D11 = range(10)
UNHURRIED = 1e-3
"""an amplifier that waits for less than this part of its slew law's bend moves as if it had none"""
STEEP = D11
"""an amplifier, having one output only, tells there what one unit of its bend asks for at its input [V]"""
PLACES = 10
FLAT_EXPONENT = -45.0
"""beside the 1 that is taken off it, exp of less than this is nothing"""


@compiled
def exponential(argument: float) -> tuple[float, float]:
    """exp and its slope: nothing below FLAT_EXPONENT, going on as a straight line above LARGEST_EXPONENT."""
    if argument < FLAT_EXPONENT:
        return 0.0, 0.0
    if argument <= LARGEST_EXPONENT:
        value = np.exp(argument)
        return value, value
    top = np.exp(LARGEST_EXPONENT)
    return top * (1.0 + argument - LARGEST_EXPONENT), top


@compiled
def soft_positive(value: float, width: float) -> tuple[float, float]:
    """A smooth max(value, 0) and its slope."""
    ratio = value / width
    if ratio > 40.0:
        return value, 1.0
    if ratio < -40.0:
        return 0.0, 0.0
    bent = np.exp(ratio)
    return width * np.log1p(bent), bent / (1.0 + bent)


@compiled
def junction(p: FloatArray, d: int, x0: float, out: FloatArray, at: int) -> None:
    """Figures: saturation, n Vt, breakdown volts, Vt; at rest volts, amperes, slope."""
    volts = p[d, 4] + x0
    value, slope = exponential(volts / p[d, 1])
    current = p[d, 0] * (value - 1.0) + LEAK_S * volts
    conductance = p[d, 0] * slope / p[d, 1] + LEAK_S
    beyond = -(volts + p[d, 2]) / p[d, 3]
    if beyond > -60.0:
        back, back_slope = exponential(beyond)
        current -= BREAKDOWN_A * back
        conductance += BREAKDOWN_A * back_slope / p[d, 3]
    out[at, V0] = x0
    out[at, DV0] = 1.0
    out[at, R0] = current - p[d, 5] - p[d, 6] * x0
    out[at, D00] = conductance - p[d, 6]


@compiled
def bipolar(p: FloatArray, d: int, x0: float, x1: float, out: FloatArray, at: int) -> None:
    """Figures: Is, Vt, forward and reverse beta, Early volts, leak, leak n Vt.

    At rest both volts, amperes, slopes.
    """
    vbe, vbc = p[d, 7] + x0, p[d, 8] + x1
    value, slope = exponential(vbe / p[d, 1])
    forward, forward_g = p[d, 0] * (value - 1.0), p[d, 0] * slope / p[d, 1]
    value, slope = exponential(vbc / p[d, 1])
    reverse, reverse_g = p[d, 0] * (value - 1.0), p[d, 0] * slope / p[d, 1]
    base, base_g = forward / p[d, 2] + LEAK_S * vbe, forward_g / p[d, 2] + LEAK_S
    if p[d, 5] > 0.0:
        value, slope = exponential(vbe / p[d, 6])
        base += p[d, 5] * (value - 1.0)
        base_g += p[d, 5] * slope / p[d, 6]
    far, far_g = reverse / p[d, 3] + LEAK_S * vbc, reverse_g / p[d, 3] + LEAK_S
    early, early_slope = 1.0 - vbc / p[d, 4], -1.0 / p[d, 4]
    if early < SMALLEST_EARLY_FACTOR:
        early, early_slope = SMALLEST_EARLY_FACTOR, 0.0
    through = (forward - reverse) * early
    through_far = -reverse_g * early + (forward - reverse) * early_slope
    _two_outputs(p, d, 9, x0, x1, through - far, base + far, out, at)
    out[at, D00] = forward_g * early - p[d, 11]
    out[at, D01] = through_far - far_g - p[d, 12]
    out[at, D10] = base_g - p[d, 13]
    out[at, D11] = far_g - p[d, 14]


@compiled
def _two_outputs(
    p: FloatArray, d: int, k: int, x0: float, x1: float, first: float, second: float, out: FloatArray, at: int
) -> None:
    """What two currents are beyond rest and tangent.

    Their figures stand from `k` on: two currents, four slopes.
    """
    out[at, V0] = x0
    out[at, V1] = x1
    out[at, DV0] = 1.0
    out[at, DV1] = 1.0
    out[at, R0] = first - p[d, k] - p[d, k + 2] * x0 - p[d, k + 3] * x1
    out[at, R1] = second - p[d, k + 1] - p[d, k + 4] * x0 - p[d, k + 5] * x1


@compiled
def field_effect(p: FloatArray, d: int, x0: float, x1: float, out: FloatArray, at: int) -> None:
    """Figures: beta, threshold, modulation, gate Is, gate n Vt; at rest both volts, amperes, slopes."""
    vgs, vgd = p[d, 5] + x0, p[d, 6] + x1
    vds = vgs - vgd
    near, far = max(vgs - p[d, 1], 0.0), max(vgd - p[d, 1], 0.0)
    square = p[d, 0] * (near * near - far * far)
    stretch = 1.0 + p[d, 2] * abs(vds)
    bend = square * p[d, 2] * np.sign(vds)
    gate_near, gate_near_g, gate_far, gate_far_g = 0.0, 0.0, 0.0, 0.0
    if p[d, 3] > 0.0:
        value, slope = exponential(vgs / p[d, 4])
        gate_near, gate_near_g = p[d, 3] * (value - 1.0) + LEAK_S * vgs, p[d, 3] * slope / p[d, 4] + LEAK_S
        value, slope = exponential(vgd / p[d, 4])
        gate_far, gate_far_g = p[d, 3] * (value - 1.0) + LEAK_S * vgd, p[d, 3] * slope / p[d, 4] + LEAK_S
    through = square * stretch + LEAK_S * vds
    _two_outputs(p, d, 7, x0, x1, through - gate_far, gate_near + gate_far, out, at)
    out[at, D00] = 2.0 * p[d, 0] * near * stretch + bend + LEAK_S - p[d, 9]
    out[at, D01] = -2.0 * p[d, 0] * far * stretch - bend - LEAK_S - gate_far_g - p[d, 10]
    out[at, D10] = gate_near_g - p[d, 11]
    out[at, D11] = gate_far_g - p[d, 12]


@compiled
def supply_draw(p: FloatArray, d: int, x0: float, out: FloatArray, at: int) -> None:
    """Figures: amperes, knee volts; at rest volts, amperes, slope."""
    fraction = min((p[d, 2] + x0) / p[d, 1], 1.0)
    bent = max(fraction, 0.0)
    out[at, V0] = x0
    out[at, DV0] = 1.0
    out[at, R0] = p[d, 0] * (2.0 * fraction - bent * bent) - p[d, 3] - p[d, 4] * x0
    slope = 2.0 * p[d, 0] * (1.0 - bent) / p[d, 1] if fraction < 1.0 else 0.0
    out[at, D00] = slope - p[d, 4]


@compiled
def regulator(p: FloatArray, d: int, x0: float, out: FloatArray, at: int) -> None:
    """Figures: volts, dropout; at rest input volts, term, slope."""
    offered, offered_slope = soft_positive(p[d, 2] + x0 - p[d, 1], KNEE_V)
    missing, missing_slope = soft_positive(p[d, 0] - offered, KNEE_V)
    out[at, V0] = x0
    out[at, DV0] = 1.0
    out[at, R0] = missing - p[d, 0] - p[d, 3] - p[d, 4] * x0
    out[at, D00] = -missing_slope * offered_slope - p[d, 4]


@compiled
def swing(high: float, low: float, supply: float) -> tuple[float, float]:
    """Half the swing of an amplifier and its lower end above the negative supply."""
    soft, _ = soft_positive(0.5 * (supply - high - low), SWING_KNEE_V)
    usable, _ = soft_positive(supply, SWING_KNEE_V)
    short, _ = soft_positive(high + low - usable, SWING_KNEE_V)
    return max(soft, SMALLEST_SWING_V), low - low / max(high + low, 1e-9) * short


@compiled
def amplifier(p: FloatArray, d: int, x0: float, x1: float, supply: float, out: FloatArray, at: int) -> None:
    """Figures: gain, high and low headroom, e_s (0: no slew).

    At rest output above the negative supply, supply, input difference, term; slopes of the term against
    output and supply.

    x0 is the bend, x1 the change of the input difference, `supply` the change of the supply.
    """
    half, low = swing(p[d, 1], p[d, 2], p[d, 5] + supply)
    z = np.tanh(x0)
    flat = 1.0 - z * z
    v0 = low + half * (1.0 + z) - p[d, 4]
    steep = half / p[d, 0]
    term = -steep * x0
    waiting = p[d, 6] + x1 + term
    answered, share = waiting, 1.0
    if p[d, 3] > 0.0 and abs(waiting) > UNHURRIED * p[d, 3]:
        answered = p[d, 3] * np.tanh(waiting / p[d, 3])
        share = 1.0 - (answered / p[d, 3]) ** 2
    out[at, V0] = v0
    out[at, V1] = x1
    out[at, DV0] = half * flat
    out[at, DV1] = 1.0
    out[at, R0] = (answered - waiting) + (term - p[d, 7]) - p[d, 8] * v0 - p[d, 9] * supply
    out[at, D00] = -share * steep - p[d, 8] * half * flat
    out[at, D01] = share - 1.0
    out[at, R1] = 0.0
    out[at, D10] = 0.0
    out[at, STEEP] = steep


@compiled
def conductance(p: FloatArray, d: int, x0: float, out: FloatArray, at: int) -> None:
    """Figures: siemens now, siemens in the linear part, volts at rest."""
    more = p[d, 0] - p[d, 1]
    out[at, V0] = x0
    out[at, DV0] = 1.0
    out[at, R0] = more * (p[d, 2] + x0)
    out[at, D00] = more


@compiled
def remainder(
    code: int, p: FloatArray, d: int, x0: float, x1: float, aux: float, out: FloatArray, at: int
) -> None:
    """The law of a code, its figures in row `d` of `p`, into row `at` of `out` (rows, PLACES)."""
    if code == codes.JUNCTION:
        junction(p, d, x0, out, at)
    elif code == codes.AMPLIFIER:
        amplifier(p, d, x0, x1, aux, out, at)
    elif code == codes.BIPOLAR:
        bipolar(p, d, x0, x1, out, at)
    elif code == codes.FIELD_EFFECT:
        field_effect(p, d, x0, x1, out, at)
    elif code == codes.CONDUCTANCE:
        conductance(p, d, x0, out, at)
    elif code == codes.SUPPLY_DRAW:
        supply_draw(p, d, x0, out, at)
    else:
        regulator(p, d, x0, out, at)
