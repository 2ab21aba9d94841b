"""Noise of resistors, amplifiers and stages, and the bandwidths it is measured in."""

import math

from pedalwright.formulas._kinds import ln, plain, sqrt
from pedalwright.formulas.diode import BOLTZMANN_J_PER_K, ELECTRON_C


def thermal_v_per_rthz(ohms: float, kelvin: float = 300.0) -> float:
    """Thermal noise density of a resistor [V/rtHz].

    e = sqrt(4 k T R)

    ohms: R [ohm]
    kelvin: T [K]
    Valid: all frequencies of interest here; excess noise comes on top with direct current.
    Source: [Franco] Ex. 7.4 (Nyquist's formula); [SI] for k.

    >>> print(f"{thermal_v_per_rthz(10e3) * 1e9:.4f}")
    12.8716
    """
    return sqrt(4 * BOLTZMANN_J_PER_K * kelvin * ohms)


def shot_a_per_rthz(amps: float) -> float:
    """Shot noise density of a junction's direct current [A/rtHz].

    i = sqrt(2 q I)

    amps: I [A]
    Valid: current across a junction, not through a resistor.
    Source: [Franco] Ex. 7.5; [SI] for q.

    >>> print(f"{shot_a_per_rthz(1e-6) * 1e12:.4f}")
    0.5661
    """
    return sqrt(2 * ELECTRON_C * amps)


def total_rms(density: float, *, low_hz: float, high_hz: float, corner_hz: float = 0.0) -> float:
    """Total of white noise with a 1/f part over a band [density times rtHz].

    E = e sqrt(fc ln(fH/fL) + fH - fL)

    density: e, white density [V/rtHz]
    low_hz: fL, above zero [Hz]
    high_hz: fH, noise bandwidth for filtered noise [Hz]
    corner_hz: fc, where the 1/f part equals the white one [Hz]
    Valid: 1/f power law.
    Source: [Franco] Ex. 7.1.

    >>> print(f"{total_rms(20e-9, low_hz=20.0, high_hz=20e3, corner_hz=200.0) * 1e6:.5f}")
    2.92312
    """
    return density * sqrt(corner_hz * ln(high_hz / low_hz) + high_hz - low_hz)


def inverting_output_v_per_rthz(
    *,
    input_ohms: float,
    feedback_ohms: float,
    amplifier_v_per_rthz: float,
    amplifier_a_per_rthz: float,
    plus_ohms: float = 0.0,
    kelvin: float = 300.0,
) -> float:
    """Output noise density of an inverting amplifier [V/rtHz].

    e^2 = NG^2 (en^2 + (in Rp)^2 + ep^2) + (R2/R1)^2 e1^2 + e2^2 + (in R2)^2,  NG = 1 + R2/R1

    input_ohms: R1, the source's resistance joined to it [ohm]
    feedback_ohms: R2 [ohm]
    amplifier_v_per_rthz: en [V/rtHz]
    amplifier_a_per_rthz: in, of each input [A/rtHz]
    plus_ohms: Rp, from the + input to the reference [ohm]
    kelvin: temperature of the resistors [K]
    Valid: at one frequency, ideal gain, independent sources.
    Source: [SBOS450B]; [Franco] Ex. 7.7.

    >>> density = inverting_output_v_per_rthz(
    ...     input_ohms=10e3, feedback_ohms=100e3, amplifier_v_per_rthz=5e-9, amplifier_a_per_rthz=0.7e-12
    ... )
    >>> print(f"{density * 1e9:.3f}")
    161.708
    """
    noise_gain = 1 + feedback_ohms / input_ohms
    at_plus = _sources_at_plus(amplifier_v_per_rthz, amplifier_a_per_rthz, plus_ohms, kelvin)
    around = _sources_around(amplifier_a_per_rthz, input_ohms, feedback_ohms, kelvin)
    return sqrt(noise_gain**2 * at_plus + around)


def non_inverting_output_v_per_rthz(
    *,
    ground_ohms: float,
    feedback_ohms: float,
    source_ohms: float,
    amplifier_v_per_rthz: float,
    amplifier_a_per_rthz: float,
    kelvin: float = 300.0,
) -> float:
    """Output noise density of a non-inverting amplifier [V/rtHz].

    e^2 = NG^2 (en^2 + eS^2 + (in RS)^2) + (e1 R2/R1)^2 + e2^2 + (in R2)^2,  NG = 1 + R2/R1

    ground_ohms: R1 [ohm]
    feedback_ohms: R2 [ohm]
    source_ohms: RS at the + input [ohm]
    amplifier_v_per_rthz: en [V/rtHz]
    amplifier_a_per_rthz: in, of each input [A/rtHz]
    kelvin: temperature of the resistors [K]
    Valid: at one frequency, ideal gain, independent sources.
    Source: [SBOS450B].

    >>> density = non_inverting_output_v_per_rthz(
    ...     ground_ohms=1e3, feedback_ohms=10e3, source_ohms=10e3,
    ...     amplifier_v_per_rthz=5e-9, amplifier_a_per_rthz=0.7e-12,
    ... )
    >>> print(f"{density * 1e9:.3f}")
    175.706
    """
    return inverting_output_v_per_rthz(
        input_ohms=ground_ohms,
        feedback_ohms=feedback_ohms,
        amplifier_v_per_rthz=amplifier_v_per_rthz,
        amplifier_a_per_rthz=amplifier_a_per_rthz,
        plus_ohms=source_ohms,
        kelvin=kelvin,
    )


def butterworth_bandwidth_ratio(order: int) -> float:
    """Noise bandwidth of a Butterworth low-pass over its -3 dB frequency [-]; order one is the RC filter.

    B/f = (pi/(2n))/sin(pi/(2n))

    order: n, one or more [-]
    Valid: white noise.
    Source: from memory (integral of the squared response).

    >>> print(f"{butterworth_bandwidth_ratio(1):.6f} {butterworth_bandwidth_ratio(4):.6f}")
    1.570796 1.026172
    """
    angle = math.pi / (2 * order)
    return angle / math.sin(angle)


def two_pole_low_pass_bandwidth_hz(natural_hz: float, q: float) -> float:
    """Noise bandwidth of a second-order low-pass [Hz].

    B = (pi/2) Q f0

    natural_hz: f0 [Hz]
    q: Q [-]
    Valid: white noise.
    Source: from memory (integral of the squared response).

    >>> print(f"{two_pole_low_pass_bandwidth_hz(1000.0, 2**-0.5):.3f}")
    1110.721
    """
    return math.pi / 2 * q * natural_hz


def two_pole_band_pass_bandwidth_hz(centre_hz: float, q: float) -> float:
    """Noise bandwidth of a second-order band-pass [Hz].

    B = (pi/2) f0/Q

    centre_hz: f0 [Hz]
    q: Q [-]
    Valid: white noise.
    Source: from memory (integral of the squared response).

    >>> print(f"{two_pole_band_pass_bandwidth_hz(1000.0, 10.0):.4f}")
    157.0796
    """
    return math.pi / 2 * centre_hz / q


def capacitor_rms_v(farads: float, kelvin: float = 300.0) -> float:
    """Total thermal noise on a capacitor, whatever resistor feeds it [V rms].

    V = sqrt(k T/C)

    farads: C [F]
    kelvin: T [K]
    Valid: all frequencies.
    Source: from memory (integral of the filtered resistor noise); [SI] for k.

    >>> print(f"{capacitor_rms_v(1e-9) * 1e6:.4f}")
    2.0352
    """
    return plain(sqrt(BOLTZMANN_J_PER_K * kelvin / farads))


def _sources_at_plus(volts: float, amps: float, plus_ohms: float, kelvin: float) -> float:
    """Squared density of everything that acts at the + input."""
    return volts**2 + (amps * plus_ohms) ** 2 + thermal_v_per_rthz(plus_ohms, kelvin) ** 2


def _sources_around(amps: float, input_ohms: float, feedback_ohms: float, kelvin: float) -> float:
    """Squared output density of the two resistors and of the current at the inverting input."""
    of_input = thermal_v_per_rthz(input_ohms, kelvin) * feedback_ohms / input_ohms
    of_feedback = thermal_v_per_rthz(feedback_ohms, kelvin)
    return of_input**2 + of_feedback**2 + (amps * feedback_ohms) ** 2
