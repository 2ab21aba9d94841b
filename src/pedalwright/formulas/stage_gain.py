"""Gains of amplifier stages in terms of the impedances around the amplifier; the amplifier is ideal.

All arguments are impedances in ohms, real or complex, scalars or arrays of one shape; gains are plain ratios.
"""

from collections.abc import Sequence
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Value = TypeVar("Value", float, complex, NDArray[np.float64], NDArray[np.complex128])


def inverting_gain(*, feedback_ohms: Value, input_ohms: Value) -> Value:
    """Gain of an inverting amplifier: -Zf / Zi.

    feedback_ohms: impedance from output to inverting input [ohm]; input_ohms: impedance the signal comes
    through [ohm].
    Holds while the amplifier's own gain is far above Zf/Zi. A mixer has this gain from each of its inputs.

    Source: R. Coughlin and F. Driscoll, Operational Amplifiers and Linear Integrated Circuits, ch. 3.

    >>> inverting_gain(feedback_ohms=100e3, input_ohms=10e3)
    -10.0
    """
    return -feedback_ohms / input_ohms


def non_inverting_gain(*, feedback_ohms: Value, shunt_ohms: Value) -> Value:
    """Gain of a non-inverting amplifier: 1 + Zf / Zg.

    feedback_ohms: impedance from output to inverting input [ohm]; shunt_ohms: from inverting input to
    ground [ohm].

    Source: R. Coughlin and F. Driscoll, Operational Amplifiers and Linear Integrated Circuits, ch. 3.

    >>> non_inverting_gain(feedback_ohms=40e3, shunt_ohms=10e3)
    5.0
    """
    return 1.0 + feedback_ohms / shunt_ohms


def t_network_ohms(*, from_input_ohms: Value, to_output_ohms: Value, shunt_ohms: Value) -> Value:
    """The single feedback impedance that acts like a T of three: a + b + a b / g.

    from_input_ohms, to_output_ohms: the two series arms [ohm]; shunt_ohms: the arm to ground [ohm].

    Source: star-mesh (T to pi) transformation, textbook; S. Franco, Design with Operational Amplifiers, ch.
    1.

    >>> t_network_ohms(from_input_ohms=10e3, to_output_ohms=10e3, shunt_ohms=1e3)
    120000.0
    """
    return from_input_ohms + to_output_ohms + from_input_ohms * to_output_ohms / shunt_ohms


def differential_gains(
    *, feedback_ohms: Value, input_ohms: Value, reference_ohms: Value, positive_input_ohms: Value
) -> tuple[Value, Value]:
    """Gains of a differential amplifier from its inverting and from its non-inverting input.

    -Zf/Zi, and (1 + Zf/Zi) Zr / (Zr + Zp): Zr from the non-inverting input to a steady net, Zp in series
    with it [ohm].

    Source: R. Coughlin and F. Driscoll, Operational Amplifiers and Linear Integrated Circuits, ch. 8.

    >>> differential_gains(feedback_ohms=100e3, input_ohms=1e3, reference_ohms=100e3, positive_input_ohms=1e3)
    (-100.0, 100.0)
    """
    share = reference_ohms / (reference_ohms + positive_input_ohms)
    return -feedback_ohms / input_ohms, (1.0 + feedback_ohms / input_ohms) * share


def adding_subtracting_gains(
    *,
    feedback_ohms: Value,
    negative_ohms: Sequence[Value],
    positive_ohms: Sequence[Value],
    negative_shunt_ohms: Sequence[Value] = (),
    reference_ohms: Sequence[Value] = (),
) -> tuple[Value, ...]:
    """Gains of an amplifier that adds on both sides: first from every inverting input, then from every
    other one.

    -Zf/Zi each, and (1 + Zf/Zn) Yp/(sum of Y at the non-inverting input) each, Zn all branches at the
    inverting input
    beside the feedback in parallel. Shunts and references lead to steady nets [ohm].

    Source: superposition; R. Gayakwad, Op-Amps and Linear Integrated Circuits, ch. 6 (subtractor and
    summing amplifiers).

    >>> adding_subtracting_gains(feedback_ohms=100e3, negative_ohms=[1e3], positive_ohms=[1e3],
    reference_ohms=[100e3])
    (-100.0, 100.0)
    """
    noise_gain = 1.0 + sum(feedback_ohms / ohms for ohms in (*negative_ohms, *negative_shunt_ohms))
    total = sum(1.0 / ohms for ohms in (*positive_ohms, *reference_ohms))
    negative = tuple(-feedback_ohms / ohms for ohms in negative_ohms)
    return (*negative, *(noise_gain / ohms / total for ohms in positive_ohms))


def multiple_feedback_gains(
    *,
    input_ohms: Sequence[Value],
    to_output_ohms: Value,
    to_amplifier_ohms: Value,
    shunt_ohms: Value,
    feedback_ohms: Value,
) -> tuple[Value, ...]:
    """Gains of a two-pole multiple-feedback filter, one per input: -y1 y3 / (y5 Sum + y3 y2).

    One inner net joins the inputs (y1 each), the output (y2), the inverting input (y3) and ground (y4); y5
    goes from
    inverting input to output; Sum = all branches at the inner net. Every extra input adds to the sum and
    lowers Q.

    Source: A. Kugelstadt in R. Mancini (ed.), Op Amps for Everyone, ch. 16 (multiple-feedback topology), in
    admittances.

    >>> gains = multiple_feedback_gains(input_ohms=[10e3], to_output_ohms=20e3, to_amplifier_ohms=10e3,
    ...     shunt_ohms=1e12, feedback_ohms=1e12)
    >>> round(gains[0], 6)
    -2.0
    """
    inputs = [1.0 / ohms for ohms in input_ohms]
    y2, y3, y4, y5 = (1.0 / ohms for ohms in (to_output_ohms, to_amplifier_ohms, shunt_ohms, feedback_ohms))
    total = sum(inputs[1:], inputs[0]) + y2 + y3 + y4
    return tuple(-y1 * y3 / (y5 * total + y3 * y2) for y1 in inputs)


def sallen_key_gains(
    *,
    first_ohms: Sequence[Value],
    second_ohms: Value,
    shunt_ohms: Value,
    to_output_ohms: Value,
    amplifier_gain: Value,
) -> tuple[Value, ...]:
    """Gains of a Sallen-Key stage of either kind, one per input.

    Inputs through `first_ohms` to an inner net; `second_ohms` on to the non-inverting input; `shunt_ohms`
    from there to
    ground; `to_output_ohms` from the inner net to the output; the amplifier with its own resistors has
    `amplifier_gain`.
    H = K y1 / (y1 + y2 (1 - b) + y4 (1 - K b)/... ) written as V(+) = b V(x), b = y2/(y2 + y3).

    Source: R. P. Sallen and E. L. Key, IRE Trans. Circuit Theory CT-2, 74-85 (1955), general form (from
    memory);
    special cases agree with Op Amps for Everyone, ch. 16.

    >>> gains = sallen_key_gains(first_ohms=[1e3], second_ohms=1e3, shunt_ohms=1e12, to_output_ohms=1e12,
    ...     amplifier_gain=2.0)
    >>> round(gains[0], 6)
    2.0
    """
    inputs = [1.0 / ohms for ohms in first_ohms]
    y2, y3, y4 = (1.0 / ohms for ohms in (second_ohms, shunt_ohms, to_output_ohms))
    follow = y2 / (y2 + y3)
    total = sum(inputs[1:], inputs[0]) + y2 * (1.0 - follow) + y4 * (1.0 - amplifier_gain * follow)
    return tuple(amplifier_gain * follow * y1 / total for y1 in inputs)


def all_pass_gains(
    *, feedback_ohms: Value, input_ohms: Value, series_ohms: Value, shunt_ohms: Value
) -> tuple[Value, Value]:
    """The two superposed gains of a first-order all-pass: through the inverting and the non-inverting arm.

    -Zf/Zi and (1 + Zf/Zi) Zs/(Zs + Zp), Zp from the input to the non-inverting pin and Zs from there to a
    steady net.
    With Zf = Zi, a capacitor and a resistor, their sum is (1 - s R C)/(1 + s R C) up to the sign.

    Source: R. Gayakwad, Op-Amps and Linear Integrated Circuits, ch. 7 (all-pass filter).

    >>> all_pass_gains(feedback_ohms=10e3, input_ohms=10e3, series_ohms=0.0, shunt_ohms=1e3)
    (-1.0, 2.0)
    """
    return -feedback_ohms / input_ohms, (1.0 + feedback_ohms / input_ohms) * shunt_ohms / (
        shunt_ohms + series_ohms
    )


def divider_gain(*, series_ohms: Value, shunt_ohms: Value) -> Value:
    """Open-circuit gain of a divider: Zg / (Zs + Zg).

    series_ohms: impedance from source to output [ohm]; shunt_ohms: from output to ground [ohm]. A load is
    counted apart.

    Source: textbook voltage divider.

    >>> divider_gain(series_ohms=9e3, shunt_ohms=1e3)
    0.1
    """
    return shunt_ohms / (series_ohms + shunt_ohms)


def parallel_ohms(first_ohms: Value, second_ohms: Value) -> Value:
    """Two impedances side by side [ohm].

    Source: textbook.

    >>> parallel_ohms(10e3, 10e3)
    5000.0
    """
    return first_ohms * second_ohms / (first_ohms + second_ohms)


def star_gains(*, arm_ohms: Sequence[Value], shunt_ohms: Sequence[Value]) -> tuple[Value, ...]:
    """Open-circuit gains at the middle of a star, one per driven arm: (1/Zi) / (sum of all 1/Z).

    arm_ohms: impedance from each source to the middle [ohm]; shunt_ohms: impedances from the middle to
    ground [ohm].

    Source: J. Millman, A useful network theorem, Proc. IRE 28, 413-417, 1940 (from memory).

    >>> [round(gain, 3) for gain in star_gains(arm_ohms=[10e3, 20e3], shunt_ohms=[20e3])]
    [0.5, 0.25]
    """
    total = sum(1.0 / ohms for ohms in (*arm_ohms, *shunt_ohms))
    return tuple(1.0 / ohms / total for ohms in arm_ohms)


def meeting_gains(
    *, feedback_ohms: Value, common_ohms: Value, arm_ohms: Sequence[Value]
) -> tuple[Value, ...]:
    """Gains of an inverting mixer whose arms meet before one common impedance: -Zf / (Zi (1 + Zc sum(1/Zi))).

    feedback_ohms: impedance from output to inverting input [ohm]; common_ohms: from the meeting point to the
    inverting input [ohm], 0 for a plain mixer; arm_ohms: from each source to the meeting point [ohm].

    Source: textbook, Millman's theorem at the meeting point, then the inverting amplifier.

    >>> meeting_gains(feedback_ohms=10e3, common_ohms=0.0, arm_ohms=[10e3, 20e3])
    (-1.0, -0.5)
    >>> meeting_gains(feedback_ohms=10e3, common_ohms=5e3, arm_ohms=[10e3, 10e3])
    (-0.5, -0.5)
    """
    total = 1.0 + common_ohms * sum(1.0 / ohms for ohms in arm_ohms)
    return tuple(-feedback_ohms / (ohms * total) for ohms in arm_ohms)


def star_ohms(*, arm_ohms: Sequence[Value], shunt_ohms: Sequence[Value]) -> Value:
    """Impedance behind the middle of a star with its sources still: 1 / (sum of all 1/Z) [ohm].

    Source: textbook, Thevenin's theorem.

    >>> round(star_ohms(arm_ohms=[10e3], shunt_ohms=[10e3]), 3)
    5000.0
    """
    return 1.0 / sum(1.0 / ohms for ohms in (*arm_ohms, *shunt_ohms))


def follower_gain(*, transconductance_s: float, load_ohms: Value) -> Value:
    """Gain of an emitter or source follower: gm Z / (1 + gm Z), Z everything from emitter or source to
    ground [ohm].

    transconductance_s counts the base current too: gm + 1/r_pi for a bipolar transistor [S].

    Source: A. S. Sedra and K. C. Smith, Microelectronic Circuits (from memory).

    >>> round(follower_gain(transconductance_s=0.04, load_ohms=1000.0), 6)
    0.97561
    """
    return transconductance_s * load_ohms / (1.0 + transconductance_s * load_ohms)


def common_emitter_gain(*, transconductance_s: float, load_ohms: Value, emitter_ohms: Value) -> Value:
    """Gain of a common-emitter or common-source stage: -gm Zl / (1 + gm Ze).

    load_ohms: all that hangs on the collector or drain [ohm]; emitter_ohms: unbypassed impedance below [ohm].

    Source: R. L. Boylestad and L. Nashelsky, Electronic Devices and Circuit Theory, ch. 5 (beta large).

    >>> round(common_emitter_gain(transconductance_s=0.04, load_ohms=4700.0, emitter_ohms=100.0), 4)
    -37.6
    """
    return -transconductance_s * load_ohms / (1.0 + transconductance_s * emitter_ohms)


def emitter_stage(
    *, gm: float, gpi: float, go: float, load_siemens: Value, emitter_ohms: Value, bridge_siemens: Value
) -> tuple[Value, Value]:
    """Gain from base to collector, and output impedance [ohm], of a common-emitter stage, nothing neglected.

    H = -(gm - go gpi Ze - Yb D)/N,  Zo = D/N,  D = 1 + (gm + gpi + go) Ze,  N = D (Yl + Yb) + go (1 + gpi Ze)

    gm, gpi, go: transconductance, input and output conductance of the transistor at rest [S]
    load_siemens: Yl, from collector to ground [S]; emitter_ohms: Ze, from emitter to ground [ohm]
    bridge_siemens: Yb, from collector to base [S]
    Serves field-effect transistors too: gate for base, drain for collector.
    Source: nodal equations of the hybrid-pi; with go, gpi and Yb zero it is Boylestad's -RC/(re + RE), ch. 5.

    >>> gain, ohms = emitter_stage(
    ...     gm=0.04, gpi=0.0, go=0.0, load_siemens=1 / 4700.0, emitter_ohms=100.0, bridge_siemens=0.0
    ... )
    >>> print(f"{gain:.4f} {ohms:.1f}")
    -37.6000 4700.0
    """
    d = 1.0 + (gm + gpi + go) * emitter_ohms
    n = d * (load_siemens + bridge_siemens) + go * (1.0 + gpi * emitter_ohms)
    return -(gm - go * gpi * emitter_ohms - bridge_siemens * d) / n, d / n


def follower_stage(*, gm: float, gpi: float, go: float, emitter_siemens: Value) -> tuple[Value, Value]:
    """Gain from base to emitter, and output impedance [ohm] with the base driven stiffly, nothing neglected.

    H = (gm + gpi)/N,  Zo = 1/N,  N = gm + gpi + go + Ye

    gm, gpi, go: transconductance, input and output conductance of the transistor at rest [S]
    emitter_siemens: Ye, from emitter to ground [S]
    Source: nodal equations of the hybrid-pi; A. S. Sedra and K. C. Smith, Microelectronic Circuits (from
    memory).

    >>> gain, ohms = follower_stage(gm=0.04, gpi=0.0, go=0.0, emitter_siemens=1e-3)
    >>> print(f"{gain:.6f} {ohms:.4f}")
    0.975610 24.3902
    """
    n = gm + gpi + go + emitter_siemens
    return (gm + gpi) / n, 1.0 / n
