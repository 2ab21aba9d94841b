"""Operational-amplifier stages, ideal, and what finite gain, bandwidth and slew rate take away."""

import math
from collections.abc import Sequence

from pedalwright.formulas._kinds import Phasor, Value


def inverting_gain(feedback_z: Value, input_z: Value) -> Value:
    """Gain of an inverting amplifier; each input of a summing mixer has it with its own impedance [-].

    H = -Zf/Zi

    feedback_z: from the output to the inverting input [ohm]
    input_z: from the input to the inverting input [ohm]
    Valid: ideal amplifier.
    Source: [Coughlin] Ex. 3.1 to 3.3.

    >>> inverting_gain(250e3, 10e3)
    -25.0
    """
    return -feedback_z / input_z


def non_inverting_gain(feedback_z: Value, ground_z: Value) -> Value:
    """Gain of a non-inverting amplifier [-].

    H = 1 + Zf/Zg

    feedback_z: from the output to the inverting input [ohm]
    ground_z: from the inverting input to the reference [ohm]
    Valid: ideal amplifier.
    Source: [Coughlin] Ex. 3.13.

    >>> non_inverting_gain(40e3, 10e3)
    5.0
    """
    return 1 + feedback_z / ground_z


def summing_output_v(feedback_ohms: float, inputs: Sequence[tuple[float, float]]) -> float:
    """Output of an inverting summing mixer [V].

    V = -Rf (V1/R1 + V2/R2 + ...)

    feedback_ohms: Rf [ohm]
    inputs: pairs of voltage [V] and resistor [ohm]
    Valid: ideal amplifier, output within its range.
    Source: [Floyd] Ex. 13.7; [Coughlin] Ex. 3.8.

    >>> print(f"{summing_output_v(10e3, [(3.0, 47e3), (2.0, 100e3), (8.0, 10e3)]):.6f}")
    -8.838298
    """
    return -feedback_ohms * sum(volts / ohms for volts, ohms in inputs)


def averaging_output_v(gain: float, inputs: Sequence[tuple[float, float]]) -> float:
    """Output of a non-inverting summing amplifier [V].

    V = K (V1/R1 + V2/R2 + ...)/(1/R1 + 1/R2 + ...)

    gain: K from the + input to the output [-]
    inputs: pairs of voltage [V] and resistor to the + input [ohm]
    Valid: ideal amplifier, nothing else at the + input.
    Source: [Gayakwad] Ex. 6.5.

    >>> print(f"{averaging_output_v(3.0, [(2.0, 1e3), (-3.0, 1e3), (4.0, 1e3)]):.3f}")
    3.000
    """
    return gain * sum(volts / ohms for volts, ohms in inputs) / sum(1 / ohms for _, ohms in inputs)


def differential_plus_gain(
    *, feedback_z: Value, input_z: Value, plus_series_z: Value, plus_ground_z: Value
) -> Value:
    """Gain of a differential amplifier from its + side; the - side has `inverting_gain` [-].

    H = Zb/(Za + Zb) (1 + Zf/Zi)

    feedback_z: Zf, from the output to the inverting input [ohm]
    input_z: Zi, from the - side's input to the inverting input [ohm]
    plus_series_z: Za, from the + side's input to the + input [ohm]
    plus_ground_z: Zb, from the + input to the reference [ohm]
    Valid: ideal amplifier, stiff sources.
    Source: [Coughlin] Ex. 8.1.

    >>> h = differential_plus_gain(feedback_z=1e5, input_z=1e3, plus_series_z=1e3, plus_ground_z=1e5)
    >>> print(f"{h:.3f}")
    100.000
    """
    return (1 + feedback_z / input_z) * plus_ground_z / (plus_series_z + plus_ground_z)


def tee_z(first_z: Value, second_z: Value, *, shunt_z: Value) -> Value:
    """Impedance that a T of three acts like between its two ends in a feedback path [ohm].

    Zt = a + b + a b/g

    first_z, second_z: a, b, the series arms [ohm]
    shunt_z: g, from between them to the reference [ohm]
    Valid: one end at a virtual ground.
    Source: common practice, no source (star-delta transformation).

    >>> tee_z(10e3, 10e3, shunt_z=1e3)
    120000.0
    """
    return first_z + second_z + first_z * second_z / shunt_z


def integrator_response(s: Phasor, *, ohms: float, farads: float, leak_ohms: float = math.inf) -> Phasor:
    """Voltage ratio of an inverting integrator, with the resistor that makes it lossy [-].

    H = -1/(R (1/RL + s C))

    s: complex frequency [rad/s]
    ohms: R, input resistor [ohm]
    farads: C, feedback capacitor [F]
    leak_ohms: RL, beside the capacitor [ohm]
    Valid: ideal amplifier.
    Source: [Floyd] Ex. 13.8.

    >>> h = integrator_response(2j * math.pi * 1583.57, ohms=10e3, farads=10e-9, leak_ohms=100e3)
    >>> print(f"{abs(h):.4f}")
    1.0000
    """
    return -1 / (ohms * (1 / leak_ohms + s * farads))


def integrator_slope_v_per_s(input_v: float, ohms: float, *, farads: float) -> float:
    """Slope of an integrator's output for a steady input [V/s].

    dV/dt = -V/(R C)

    input_v: input against the reference [V]
    ohms: input resistor [ohm]
    farads: feedback capacitor [F]
    Valid: ideal amplifier, output within its range.
    Source: [Floyd] Ex. 13.8; [Gayakwad] Ex. 6.15.

    >>> print(f"{integrator_slope_v_per_s(5.0, 10e3, farads=10e-9):.1f}")
    -50000.0
    """
    return -input_v / (ohms * farads)


def differentiator_response(
    s: Phasor,
    *,
    feedback_ohms: float,
    input_farads: float,
    input_ohms: float = 0.0,
    feedback_farads: float = 0.0,
) -> Phasor:
    """Voltage ratio of an inverting differentiator with the parts that tame it [-].

    H = -s Rf Ci/((1 + s Ri Ci)(1 + s Rf Cf))

    s: complex frequency [rad/s]
    feedback_ohms: Rf [ohm]
    input_farads: Ci [F]
    input_ohms: Ri in series with Ci [ohm]
    feedback_farads: Cf beside Rf [F]
    Valid: ideal amplifier.
    Source: [Coughlin] Ex. 5.18.

    >>> h = differentiator_response(2j * math.pi * 1000.0, feedback_ohms=31830.99, input_farads=0.1e-6)
    >>> print(f"{abs(h):.3f}")
    20.000
    """
    rise = 1 + s * (input_ohms * input_farads)
    fall = 1 + s * (feedback_ohms * feedback_farads)
    return -s * (feedback_ohms * input_farads) / (rise * fall)


def inverting_gain_with_finite_gain(ideal_ratio: float, open_loop_gain: float) -> float:
    """Gain of an inverting amplifier whose amplifier has finite gain [-].

    H = -r/(1 + (1 + r)/A)

    ideal_ratio: r = Rf/Ri [-]
    open_loop_gain: A [-]
    Valid: zero output resistance, no input current.
    Source: [Coughlin] Ex. 10.5.

    >>> print(f"{inverting_gain_with_finite_gain(100.0, 1000.0):.6f}")
    -90.826521
    """
    return -ideal_ratio / (1 + (1 + ideal_ratio) / open_loop_gain)


def non_inverting_gain_with_finite_gain(ideal_gain: float, open_loop_gain: float) -> float:
    """Gain of a non-inverting amplifier whose amplifier has finite gain [-].

    H = K/(1 + K/A)

    ideal_gain: K = 1 + Rf/Rg [-]
    open_loop_gain: A [-]
    Valid: zero output resistance, no input current.
    Source: [Coughlin] Ex. 10.5.

    >>> print(f"{non_inverting_gain_with_finite_gain(100.0, 1000.0):.6f}")
    90.909091
    """
    return ideal_gain / (1 + ideal_gain / open_loop_gain)


def bandwidth_hz(gain_bandwidth_hz: float, noise_gain: float) -> float:
    """Closed-loop bandwidth [Hz]; the noise gain 1 + Rf/Ri sets it, also for the inverting amplifier.

    f = GBW/(1 + Rf/Ri)

    gain_bandwidth_hz: gain-bandwidth product [Hz]
    noise_gain: 1 + Rf/Ri, all resistors from the inverting input counted [-]
    Valid: single-pole amplifier.
    Source: [Coughlin] Ex. 10.6.

    >>> bandwidth_hz(1e6, 2.0)
    500000.0
    """
    return gain_bandwidth_hz / noise_gain


def slew_limited_hz(slew_v_per_s: float, peak_v: float) -> float:
    """Highest frequency of an undistorted sine of a given peak [Hz].

    f = SR/(2 pi Vp)

    slew_v_per_s: slew rate [V/s]
    peak_v: peak of the output sine [V]
    Valid: sine; the amplifier's bandwidth may end it earlier.
    Source: [Coughlin] Ex. 10.8.

    >>> print(f"{slew_limited_hz(0.5e6, 10.0):.2f}")
    7957.75
    """
    return slew_v_per_s / (2 * math.pi * peak_v)


def slew_limited_peak_v(slew_v_per_s: float, frequency_hz: float) -> float:
    """Largest peak of an undistorted sine at a frequency [V].

    Vp = SR/(2 pi f)

    slew_v_per_s: slew rate [V/s]
    frequency_hz: frequency of the sine [Hz]
    Valid: sine; the supply may limit it earlier.
    Source: [Coughlin] Ex. 10.9.

    >>> print(f"{slew_limited_peak_v(0.5e6, 500e3):.6f}")
    0.159155
    """
    return slew_v_per_s / (2 * math.pi * frequency_hz)


def slew_time_s(change_v: float, slew_v_per_s: float) -> float:
    """Time a full-speed change takes [s].

    t = V/SR

    change_v: size of the change [V]
    slew_v_per_s: slew rate [V/s]
    Valid: changes much larger than the input stage's linear range.
    Source: [Coughlin] Ex. 10.7.

    >>> print(f"{slew_time_s(10.0, 0.5e6) * 1e6:.1f}")
    20.0
    """
    return change_v / slew_v_per_s


def rectified_average_v(peak_v: float) -> float:
    """Average of a full-wave rectified sine [V].

    Vavg = 2 Vp/pi

    peak_v: peak of the sine [V]
    Valid: ideal rectifier; half-wave gives half of it.
    Source: [Coughlin] Ex. 5.3.

    >>> print(f"{rectified_average_v(1.0):.6f}")
    0.636620
    """
    return 2 * peak_v / math.pi
