"""Oscillators: phase shift, Wien bridge, Schmitt trigger with integrator, and the 555 timer."""

import math
from dataclasses import dataclass

from pedalwright.formulas._kinds import ln, sqrt


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseShift:
    """A phase-shift oscillator: frequency [Hz] and the gain its amplifier needs, with sign [-]."""

    frequency_hz: float
    needed_gain: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Thresholds:
    """Switching voltages of a Schmitt trigger [V]."""

    lower_v: float
    upper_v: float


def three_high_pass_sections(ohms: float, farads: float) -> PhaseShift:
    """Phase-shift oscillator with three equal C-R sections, unbuffered.

    f = 1/(2 pi sqrt(6) R C), gain -29

    ohms: each resistor to the reference [ohm]
    farads: each series capacitor [F]
    Valid: stiff drive, last resistor includes the amplifier's input; a transistor shifts both.
    Source: [Floyd] Ex. 16.2; [Gayakwad] Ex. 7.12.

    >>> print(f"{three_high_pass_sections(10e3, 1e-9).frequency_hz:.2f}")
    6497.47
    """
    return PhaseShift(frequency_hz=1 / (2 * math.pi * sqrt(6) * ohms * farads), needed_gain=-29.0)


def three_low_pass_sections(ohms: float, farads: float) -> PhaseShift:
    """Phase-shift oscillator with three equal R-C sections, unbuffered.

    f = sqrt(6)/(2 pi R C), gain -29

    ohms: each series resistor [ohm]
    farads: each capacitor to the reference [F]
    Valid: stiff drive, no load.
    Source: from memory (imaginary part of the ladder's transfer ratio set to zero).

    >>> print(f"{three_low_pass_sections(10e3, 10e-9).frequency_hz:.3f}")
    3898.484
    """
    return PhaseShift(frequency_hz=sqrt(6) / (2 * math.pi * ohms * farads), needed_gain=-29.0)


def three_buffered_high_pass_sections(ohms: float, farads: float) -> PhaseShift:
    """Phase-shift oscillator with three equal C-R sections and buffers between.

    f = 1/(2 pi sqrt(3) R C), gain -8

    ohms: each resistor to the reference [ohm]
    farads: each series capacitor [F]
    Valid: ideal buffers.
    Source: from memory (60 degrees a section).

    >>> print(f"{three_buffered_high_pass_sections(10e3, 10e-9).frequency_hz:.3f}")
    918.881
    """
    return PhaseShift(frequency_hz=1 / (2 * math.pi * sqrt(3) * ohms * farads), needed_gain=-8.0)


def four_high_pass_sections(ohms: float, farads: float) -> PhaseShift:
    """Phase-shift oscillator with four equal C-R sections, unbuffered.

    f = sqrt(7/10)/(2 pi R C), gain -18.39 (= 1 - 15 x + x^2 with x = 10/7)

    ohms: each resistor to the reference [ohm]
    farads: each series capacitor [F]
    Valid: stiff drive, last resistor includes the amplifier's input.
    Source: from memory (imaginary part of the ladder's transfer ratio set to zero).

    >>> oscillator = four_high_pass_sections(10e3, 10e-9)
    >>> print(f"{oscillator.frequency_hz:.3f} {oscillator.needed_gain:.4f}")
    1331.586 -18.3878
    """
    x = 10 / 7
    return PhaseShift(
        frequency_hz=sqrt(7 / 10) / (2 * math.pi * ohms * farads), needed_gain=1 - 15 * x + x**2
    )


def loaded_high_pass_sections(ohms: float, farads: float, *, driver_ohms: float) -> PhaseShift:
    """Three equal CR sections (R to ground) behind a stage with an output resistance: the transistor version.

    f = 1/(2 pi R C sqrt(6 + 4 Rd/R)), gain -(29 + 23 Rd/R + 4 (Rd/R)^2) from base to the unloaded collector

    ohms: R of each section, the last with the base's resistance in it [ohm]
    farads: C of each section [F]
    driver_ohms: Rd, the collector resistor [ohm]
    Valid: all sections equal.
    Source: [Boylestad] section 14.6 gives the frequency and, in current gains, hfe > 23 + 29 R/RC + 4 RC/R
    (section
    from memory); with Rd zero it is `three_high_pass_sections`.

    >>> oscillator = loaded_high_pass_sections(10e3, 10e-9, driver_ohms=10e3)
    >>> print(f"{oscillator.frequency_hz:.3f} {oscillator.needed_gain:.1f}")
    503.292 -56.0
    """
    ratio = driver_ohms / ohms
    return PhaseShift(
        frequency_hz=1 / (2 * math.pi * sqrt(6 + 4 * ratio) * ohms * farads),
        needed_gain=-(29 + 23 * ratio + 4 * ratio**2),
    )


def wien_bridge_hz(ohms: float, farads: float) -> float:
    """Frequency of a Wien-bridge oscillator; its amplifier needs a gain of three [Hz].

    f = 1/(2 pi R C), Rf = 2 R1

    ohms: each resistor of the network [ohm]
    farads: each capacitor of the network [F]
    Valid: equal parts, amplitude held by other means.
    Source: [Floyd] Ex. 16.1; [Gayakwad] Ex. 7.13; [Boylestad] Ex. 14.8.

    >>> print(f"{wien_bridge_hz(3.3e3, 0.05e-6):.3f}")
    964.575
    """
    return 1 / (2 * math.pi * ohms * farads)


def square_wave_s(*, ohms: float, farads: float, ground_ohms: float, output_ohms: float) -> float:
    """Period of the one-amplifier square-wave oscillator [s].

    T = 2 R C ln(1 + 2 R1/R2)

    ohms: R, from the output to the inverting input [ohm]
    farads: C, from the inverting input to the reference [F]
    ground_ohms: R1, from the + input to the reference [ohm]
    output_ohms: R2, from the output to the + input [ohm]
    Valid: equal output swing both ways.
    Source: [Gayakwad] Ex. 7.15; [Coughlin] Ex. 6.3.

    >>> period = square_wave_s(ohms=100e3, farads=0.1e-6, ground_ohms=86e3, output_ohms=100e3)
    >>> print(f"{period * 1e3:.4f}")
    20.0126
    """
    return 2 * ohms * farads * ln(1 + 2 * ground_ohms / output_ohms)


def triangle_wave_hz(*, ohms: float, farads: float, square_ohms: float, triangle_ohms: float) -> float:
    """Frequency of a Schmitt trigger and an integrator in a loop [Hz].

    f = (R2/R3)/(4 R C)

    ohms: R, the integrator's input resistor [ohm]
    farads: C, the integrator's capacitor [F]
    square_ohms: R2, from the square output to the trigger's + input [ohm]
    triangle_ohms: R3, from the triangle output to the trigger's + input [ohm]
    Valid: equal output swing both ways, R3 below R2.
    Source: [Floyd] Ex. 16.4; [Gayakwad] Ex. 7.16; [Franco] Ex. 10.5.

    >>> print(f"{triangle_wave_hz(ohms=10e3, farads=10e-9, square_ohms=33e3, triangle_ohms=10e3):.1f}")
    8250.0
    """
    return square_ohms / triangle_ohms / (4 * ohms * farads)


def triangle_peak_v(*, swing_v: float, square_ohms: float, triangle_ohms: float) -> float:
    """Peak of the triangle of the same oscillator [V].

    V = Vsat R3/R2

    swing_v: Vsat, peak of the square wave about the middle [V]
    square_ohms: R2, from the square output to the trigger's + input [ohm]
    triangle_ohms: R3, from the triangle output to the trigger's + input [ohm]
    Valid: R3 below R2, else it does not switch.
    Source: [Gayakwad] Ex. 7.16; [Coughlin] Ex. 6.6.

    >>> print(f"{triangle_peak_v(swing_v=14.0, square_ohms=40e3, triangle_ohms=10e3):.2f}")
    3.50
    """
    return swing_v * triangle_ohms / square_ohms


def inverting_schmitt(
    *, high_v: float, low_v: float, output_ohms: float, reference_ohms: float, reference_v: float = 0.0
) -> Thresholds:
    """Thresholds of a Schmitt trigger with the signal at the inverting input.

    V = (Vref R2 + Vout R1)/(R1 + R2)

    high_v, low_v: the two output voltages [V]
    output_ohms: R2, from the output to the + input [ohm]
    reference_ohms: R1, from the reference to the + input [ohm]
    reference_v: Vref [V]
    Valid: ideal amplifier.
    Source: [Floyd] Ex. 13.2; [Coughlin] Ex. 4.5 and 6.1.

    >>> t = inverting_schmitt(high_v=15.0, low_v=-15.0, output_ohms=100e3, reference_ohms=86e3)
    >>> print(f"{t.upper_v:.5f} {t.lower_v:.5f}")
    6.93548 -6.93548
    """
    total = output_ohms + reference_ohms
    return Thresholds(
        lower_v=(reference_v * output_ohms + low_v * reference_ohms) / total,
        upper_v=(reference_v * output_ohms + high_v * reference_ohms) / total,
    )


def non_inverting_schmitt(
    *, high_v: float, low_v: float, output_ohms: float, input_ohms: float, reference_v: float = 0.0
) -> Thresholds:
    """Thresholds of a Schmitt trigger with the signal through a resistor to the + input.

    V = Vref (1 + R1/R2) - Vout R1/R2

    high_v, low_v: the two output voltages [V]
    output_ohms: R2, from the output to the + input [ohm]
    input_ohms: R1, from the signal to the + input [ohm]
    reference_v: Vref at the inverting input [V]
    Valid: ideal amplifier, stiff signal source.
    Source: [Coughlin] Ex. 4.4.

    >>> t = non_inverting_schmitt(
    ...     high_v=15.0, low_v=-15.0, output_ohms=75e3, input_ohms=10e3, reference_v=10 / (1 + 1 / 7.5)
    ... )
    >>> print(f"{t.lower_v:.3f} {t.upper_v:.3f}")
    8.000 12.000
    """
    ratio = input_ohms / output_ohms
    middle = reference_v * (1 + ratio)
    return Thresholds(lower_v=middle - high_v * ratio, upper_v=middle - low_v * ratio)


def timer_555_hz(*, upper_ohms: float, lower_ohms: float, farads: float) -> float:
    """Frequency of a 555 timer running freely [Hz].

    f = 1.44/((R1 + 2 R2) C), the book's rounding of 1/ln 2 = 1.4427

    upper_ohms: R1, from the supply to the discharge pin [ohm]
    lower_ohms: R2, from the discharge pin to the capacitor [ohm]
    farads: C [F]
    Valid: bipolar or CMOS part well below its top frequency.
    Source: [Floyd] Ex. 16.6.

    >>> print(f"{timer_555_hz(upper_ohms=2.2e3, lower_ohms=4.7e3, farads=22e-9):.1f}")
    5642.6
    """
    return 1.44 / ((upper_ohms + 2 * lower_ohms) * farads)


def timer_555_duty(*, upper_ohms: float, lower_ohms: float) -> float:
    """Share of the period the output of a free-running 555 timer is high [-].

    D = (R1 + R2)/(R1 + 2 R2)

    upper_ohms: R1, from the supply to the discharge pin [ohm]
    lower_ohms: R2, from the discharge pin to the capacitor [ohm]
    Valid: no diode beside R2.
    Source: [Floyd] Ex. 16.6.

    >>> print(f"{100 * timer_555_duty(upper_ohms=2.2e3, lower_ohms=4.7e3):.2f}")
    59.48
    """
    return (upper_ohms + lower_ohms) / (upper_ohms + 2 * lower_ohms)
