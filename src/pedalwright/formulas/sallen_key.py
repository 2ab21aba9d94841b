"""Sallen-Key filters: two poles around an amplifier whose input draws no current.

Parts are named by where they stand. Low-pass: `input_ohms` from the input to the inner node, `middle_ohms`
from there to the + input, `ground_farads` from the + input to the reference, `feedback_farads` from the
output to the inner node. High-pass: resistors and capacitors exchanged.
"""

import math
from dataclasses import dataclass

from pedalwright.formulas._kinds import Value, sqrt, where
from pedalwright.formulas.two_pole import TwoPole


@dataclass(frozen=True, slots=True, kw_only=True)
class LowPassResistors:
    """The two resistors of a Sallen-Key low-pass [ohm]."""

    input_ohms: float
    middle_ohms: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HighPassResistors:
    """Resistors of a Sallen-Key high-pass [ohm]: + input to the reference, output to the inner node."""

    ground_ohms: float
    feedback_ohms: float


@dataclass(frozen=True, slots=True, kw_only=True)
class InputDivider:
    """Two resistors in the place of one: from the input, and from the inner node to the reference [ohm]."""

    series_ohms: float
    shunt_ohms: float


def response(*, input_z: Value, middle_z: Value, ground_z: Value, feedback_z: Value, gain: Value) -> Value:
    """Voltage ratio of any Sallen-Key stage from its four impedances [-].

    H = K / ((1 + Z2/Zg)(1 + Z1/Zf) + Z1/Zg - K Z1/Zf)

    input_z: Z1, from the input to the inner node [ohm]
    middle_z: Z2, from the inner node to the + input [ohm]
    ground_z: Zg, from the + input to the reference [ohm]
    feedback_z: Zf, from the output to the inner node [ohm]
    gain: K, from the + input to the output [-]
    Valid: ideal amplifier, stiff source.
    Source: [OAfE] section 16.3.2.1 (section from memory), general form by nodal analysis.

    >>> h = response(input_z=10e3, middle_z=10e3, ground_z=-10e3j, feedback_z=-10e3j, gain=2.0)
    >>> print(f"{h:.3f}")
    0.000-2.000j
    """
    bridge = input_z / feedback_z
    return gain / ((1 + middle_z / ground_z) * (1 + bridge) + input_z / ground_z - gain * bridge)


def low_pass(
    *, input_ohms: float, middle_ohms: float, ground_farads: float, feedback_farads: float, gain: float = 1.0
) -> TwoPole:
    """Natural frequency, quality and gain of a Sallen-Key low-pass.

    f0 = 1/(2 pi sqrt(R1 R2 Cg Cf)),  Q = sqrt(R1 R2 Cg Cf) / (R1 Cg + R2 Cg + R1 Cf (1 - K))

    input_ohms, middle_ohms: R1, R2 [ohm]
    ground_farads, feedback_farads: Cg, Cf [F]
    gain: K = 1 + Rb/Ra, also the gain at zero frequency [-]
    Valid: ideal amplifier, stiff source; quality is not a number where the stage would oscillate.
    Source: [OAfE] section 16.3.2.1 (section from memory); [Floyd] Ex. 15.3.

    >>> stage = low_pass(
    ...     input_ohms=1.26e3, middle_ohms=1.30e3, ground_farads=22e-9, feedback_farads=150e-9
    ... )
    >>> print(f"{stage.natural_hz:.2f} {stage.q:.5f}")
    2164.74 1.30542
    """
    root = sqrt(input_ohms * middle_ohms * ground_farads * feedback_farads)
    damping = (input_ohms + middle_ohms) * ground_farads + input_ohms * feedback_farads * (1 - gain)
    return TwoPole(natural_hz=1 / (2 * math.pi * root), q=root / where(damping > 0, damping), gain=gain)


def high_pass(
    *, input_farads: float, middle_farads: float, ground_ohms: float, feedback_ohms: float, gain: float = 1.0
) -> TwoPole:
    """Natural frequency, quality and gain of a Sallen-Key high-pass.

    f0 = 1/(2 pi sqrt(Rg Rf C1 C2)),  Q = sqrt(Rg Rf C1 C2) / (Rf (C1 + C2) + Rg C2 (1 - K))

    input_farads, middle_farads: C1, C2 [F]
    ground_ohms, feedback_ohms: Rg, Rf [ohm]
    gain: K, also the gain at high frequency [-]
    Valid: ideal amplifier, stiff source; quality is not a number where the stage would oscillate.
    Source: [OAfE] section 16.4.2.1 (section from memory); [Franco] Ex. 3.12.

    >>> stage = high_pass(
    ...     input_farads=0.1e-6, middle_farads=0.1e-6, ground_ohms=23.87324e3, feedback_ohms=2.65258e3
    ... )
    >>> print(f"{stage.natural_hz:.2f} {stage.q:.4f}")
    200.00 1.5000
    """
    root = sqrt(ground_ohms * feedback_ohms * input_farads * middle_farads)
    damping = feedback_ohms * (input_farads + middle_farads) + ground_ohms * middle_farads * (1 - gain)
    return TwoPole(natural_hz=1 / (2 * math.pi * root), q=root / where(damping > 0, damping), gain=gain)


def equal_parts_gain(q: float) -> float:
    """Amplifier gain that gives a quality when both resistors and both capacitors are equal [-].

    K = 3 - 1/Q

    q: wanted quality [-]
    Valid: quality of 0.5 or more; small errors of K move a high Q by Q K times as much.
    Source: [Franco] Ex. 3.8.

    >>> print(f"{equal_parts_gain(5.0):.2f}")
    2.80
    """
    return where(q >= 0.5, 3 - 1 / q)


def unity_low_pass_resistors(
    *, corner_hz: float, a: float, b: float, ground_farads: float, feedback_farads: float
) -> LowPassResistors:
    """Resistors of a unity-gain low-pass for handbook coefficients and chosen capacitors; R1 is the smaller.

    R1, R2 = (a Cf -/+ sqrt(a^2 Cf^2 - 4 b Cg Cf)) / (4 pi fc Cg Cf)

    corner_hz: frequency fc to which a and b belong [Hz]
    a, b: coefficients of 1 + a S + b S^2 [-]
    ground_farads, feedback_farads: Cg, Cf with Cf >= 4 Cg b/a^2 [F]
    Valid: unity gain; not a number where Cf is too small. Near the limit the two are very sensitive.
    Source: [OAfE] Ex. 16-2 and 16-3.

    >>> r = unity_low_pass_resistors(
    ...     corner_hz=50e3, a=1.6180, b=1.0, ground_farads=820e-12, feedback_farads=1.5e-9
    ... )
    >>> print(f"{r.input_ohms:.0f} {r.middle_ohms:.0f}")
    1866 4415
    """
    root = sqrt((a * feedback_farads) ** 2 - 4 * b * ground_farads * feedback_farads)
    scale = 4 * math.pi * corner_hz * ground_farads * feedback_farads
    return LowPassResistors(
        input_ohms=(a * feedback_farads - root) / scale, middle_ohms=(a * feedback_farads + root) / scale
    )


def unity_high_pass_resistors(*, natural_hz: float, q: float, farads: float) -> HighPassResistors:
    """Resistors of a unity-gain high-pass with two equal capacitors.

    Rf = 1/(4 pi f0 Q C),  Rg = 2 Q/(2 pi f0 C)

    natural_hz: wanted natural frequency [Hz]
    q: wanted quality [-]
    farads: each capacitor [F]
    Valid: unity gain, all above zero.
    Source: [Franco] Ex. 3.12; [Coughlin] Ex. 11.8.

    >>> r = unity_high_pass_resistors(natural_hz=1000.0, q=2**-0.5, farads=10e-9)
    >>> print(f"{r.ground_ohms:.1f} {r.feedback_ohms:.2f}")
    22507.9 11253.95
    """
    ohms = 1 / (2 * math.pi * natural_hz * farads)
    return HighPassResistors(ground_ohms=2 * q * ohms, feedback_ohms=ohms / (2 * q))


def divider_for_unity_gain(ohms: float, gain: float) -> InputDivider:
    """Two resistors that replace the input resistor and undo the amplifier's gain at zero frequency.

    R1a = K R,  R1b = K R/(K - 1)

    ohms: the input resistor they replace [ohm]
    gain: K above one [-]
    Valid: stiff source.
    Source: [Franco] Ex. 3.9.

    >>> parts = divider_for_unity_gain(15915.49, 2.8)
    >>> print(f"{parts.series_ohms:.1f} {parts.shunt_ohms:.1f}")
    44563.4 24757.4
    """
    return InputDivider(series_ohms=gain * ohms, shunt_ohms=gain * ohms / (gain - 1))
