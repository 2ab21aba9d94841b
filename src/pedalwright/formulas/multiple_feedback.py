"""Multiple-feedback filters: five branches around an inverting amplifier.

One inner node takes the input branch, the feedback branch from the output, the branch to the inverting input,
and whatever else hangs on it; one more branch runs from the inverting input to the output.
"""

import math
from dataclasses import dataclass

from pedalwright.formulas._kinds import Value, sqrt, where
from pedalwright.formulas.two_pole import TwoPole


@dataclass(frozen=True, slots=True, kw_only=True)
class LowPassResistors:
    """Resistors of a multiple-feedback low-pass [ohm]."""

    input_ohms: float
    feedback_ohms: float
    inverting_ohms: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BandPassResistors:
    """Resistors of a multiple-feedback band-pass [ohm]."""

    input_ohms: float
    shunt_ohms: float
    feedback_ohms: float


def response(
    *, input_y: Value, feedback_y: Value, inverting_y: Value, bridging_y: Value, other_y: Value
) -> Value:
    """Voltage ratio of any multiple-feedback stage from its admittances [-].

    H = -y1 y3 / (y5 (y1 + y2 + y3 + y4) + y2 y3)

    input_y: y1, from the input to the inner node [S]
    feedback_y: y2, from the output to the inner node [S]
    inverting_y: y3, from the inner node to the inverting input [S]
    bridging_y: y5, from the inverting input to the output [S]
    other_y: y4, everything else at the inner node: shunt branches and further inputs [S]
    Valid: ideal amplifier, stiff sources; further inputs at zero volts.
    Source: [OAfE] section 16.3.2.2, general form by nodal analysis.

    >>> h = response(input_y=1e-4, feedback_y=1e-4, inverting_y=1e-4, bridging_y=1e-4j, other_y=2e-4j)
    >>> print(f"{h:.4f}")
    0.1000+0.3000j
    """
    total = input_y + feedback_y + inverting_y + other_y
    return -input_y * inverting_y / (bridging_y * total + feedback_y * inverting_y)


def low_pass(
    *,
    input_ohms: float,
    feedback_ohms: float,
    inverting_ohms: float,
    shunt_farads: float,
    bridging_farads: float,
    further_input_ohms: float = math.inf,
) -> TwoPole:
    """Natural frequency, quality and gain of a multiple-feedback low-pass.

    f0 = 1/(2 pi sqrt(R2 R3 Cs Ci)),  H0 = -R2/R1,
    Q = sqrt(R2 R3 Cs Ci) / (Ci (R2 + R3 + R2 R3 (1/R1 + 1/Rx)))

    input_ohms: R1, from the input to the inner node [ohm]
    feedback_ohms: R2, from the inner node to the output [ohm]
    inverting_ohms: R3, from the inner node to the inverting input [ohm]
    shunt_farads: Cs, from the inner node to the reference [F]
    bridging_farads: Ci, from the inverting input to the output [F]
    further_input_ohms: Rx, further input resistors in parallel; each one lowers the quality [ohm]
    Valid: ideal amplifier, stiff sources.
    Source: [OAfE] section 16.3.2.2; [Franco] Ex. 3.16.

    >>> stage = low_pass(
    ...     input_ohms=10e3, feedback_ohms=10e3, inverting_ohms=10e3,
    ...     shunt_farads=5.6e-9, bridging_farads=560e-12,
    ... )
    >>> print(f"{stage.natural_hz:.2f} {stage.q:.5f} {stage.gain}")
    8987.36 1.05409 -1.0
    """
    pair = feedback_ohms * inverting_ohms
    root = sqrt(pair * shunt_farads * bridging_farads)
    inputs = 1 / input_ohms + 1 / further_input_ohms
    damping = bridging_farads * (feedback_ohms + inverting_ohms + pair * inputs)
    return TwoPole(natural_hz=1 / (2 * math.pi * root), q=root / damping, gain=-feedback_ohms / input_ohms)


def low_pass_resistors(
    *,
    corner_hz: float,
    a: float,
    b: float,
    gain: float,
    shunt_farads: float,
    bridging_farads: float,
    larger: bool = False,
) -> LowPassResistors:
    """Resistors of a low-pass for handbook coefficients and chosen capacitors.

    R2 = (a Cs -/+ sqrt(a^2 Cs^2 - 4 b Ci Cs (1 - A0))) / (4 pi fc Ci Cs),  R1 = -R2/A0,
    R3 = b/(4 pi^2 fc^2 Ci Cs R2)

    corner_hz: frequency fc to which a and b belong [Hz]
    a, b: coefficients of 1 + a S + b S^2 [-]
    gain: A0 at zero frequency, below zero [-]
    shunt_farads, bridging_farads: Cs, Ci with Cs >= 4 Ci b (1 - A0)/a^2 [F]
    larger: take the larger root for R2 [-]
    Valid: ideal amplifier; not a number where Cs is too small.
    Source: [OAfE] section 16.3.2.2.

    >>> r = low_pass_resistors(
    ...     corner_hz=1e3, a=2**0.5, b=1.0, gain=-1.0, shunt_farads=22e-9, bridging_farads=4.7e-9
    ... )
    >>> print(f"{r.input_ohms:.2f} {r.feedback_ohms:.2f} {r.inverting_ohms:.2f}")
    14812.48 14812.48 16538.34
    """
    pair = shunt_farads * bridging_farads
    root = sqrt((a * shunt_farads) ** 2 - 4 * b * pair * (1 - gain))
    feedback = (a * shunt_farads + (root if larger else -root)) / (4 * math.pi * corner_hz * pair)
    return LowPassResistors(
        input_ohms=-feedback / gain,
        feedback_ohms=feedback,
        inverting_ohms=b / ((2 * math.pi * corner_hz) ** 2 * pair * feedback),
    )


def band_pass(
    *,
    input_ohms: float,
    feedback_ohms: float,
    feedback_farads: float,
    inverting_farads: float,
    shunt_ohms: float = math.inf,
) -> TwoPole:
    """Centre frequency, quality and gain of a multiple-feedback band-pass.

    f0 = sqrt((1/R1 + 1/R2)/(R3 Ca Cb))/(2 pi),  Q = 2 pi f0 R3 Ca Cb/(Ca + Cb),  A = -R3 Cb/(R1 (Ca + Cb))

    input_ohms: R1, from the input to the inner node [ohm]
    feedback_ohms: R3, from the inverting input to the output [ohm]
    feedback_farads: Ca, from the inner node to the output [F]
    inverting_farads: Cb, from the inner node to the inverting input [F]
    shunt_ohms: R2, from the inner node to the reference [ohm]
    Valid: ideal amplifier, stiff source.
    Source: [ECE342]; [Floyd] Ex. 15.6 (equal capacitors); unequal capacitors by nodal analysis.

    >>> stage = band_pass(
    ...     input_ohms=68e3, feedback_ohms=180e3, shunt_ohms=2.7e3,
    ...     feedback_farads=10e-9, inverting_farads=10e-9,
    ... )
    >>> print(f"{stage.natural_hz:.4f} {stage.q:.5f} {stage.gain:.6f}")
    736.1346 4.16274 -1.323529
    """
    pair, both = feedback_farads * inverting_farads, feedback_farads + inverting_farads
    natural = sqrt((1 / input_ohms + 1 / shunt_ohms) / (feedback_ohms * pair))
    return TwoPole(
        natural_hz=natural / (2 * math.pi),
        q=natural * feedback_ohms * pair / both,
        gain=-feedback_ohms * inverting_farads / (input_ohms * both),
    )


def band_pass_resistors(*, centre_hz: float, q: float, gain: float, farads: float) -> BandPassResistors:
    """Resistors of a band-pass with two equal capacitors.

    R3 = Q/(pi f0 C),  R1 = R3/(2 |A|),  R2 = |A| R1/(2 Q^2 - |A|)

    centre_hz: wanted centre [Hz]
    q: wanted quality [-]
    gain: wanted gain at the centre, below zero [-]
    farads: each capacitor [F]
    Valid: |A| below 2 Q^2, else the shunt is not a number.
    Source: [ECE342]; [Gayakwad] Ex. 7.8a.

    >>> r = band_pass_resistors(centre_hz=1000.0, q=3.0, gain=-10.0, farads=10e-9)
    >>> print(f"{r.input_ohms:.2f} {r.shunt_ohms:.2f} {r.feedback_ohms:.2f}")
    4774.65 5968.31 95492.97
    """
    size = abs(gain)
    feedback = q / (math.pi * centre_hz * farads)
    input_ohms = feedback / (2 * size)
    spare = 2 * q**2 - size
    return BandPassResistors(
        input_ohms=input_ohms, shunt_ohms=size * input_ohms / where(spare > 0, spare), feedback_ohms=feedback
    )


def retuned_shunt_ohms(*, input_ohms: float, shunt_ohms: float, ratio: float) -> float:
    """Shunt resistor that moves a band-pass to another centre, gain and bandwidth unchanged [ohm].

    1/R2' = r^2 (1/R1 + 1/R2) - 1/R1

    input_ohms: R1 [ohm]
    shunt_ohms: R2 as it is [ohm]
    ratio: r, new centre over old centre [-]
    Valid: not a number where even no shunt at all leaves the centre too high. The book's R2/r^2 holds only
    for R2 much smaller than R1.
    Source: from memory (the centre formula of `band_pass` solved for R2); corrects [Gayakwad] Ex. 7.8b.

    >>> print(f"{retuned_shunt_ohms(input_ohms=4774.65, shunt_ohms=5968.31, ratio=1.5):.2f}")
    1565.46
    """
    conductance = ratio**2 * (1 / input_ohms + 1 / shunt_ohms) - 1 / input_ohms
    return 1 / where(conductance > 0, conductance)


def high_pass(
    *,
    input_farads: float,
    feedback_farads: float,
    inverting_farads: float,
    shunt_ohms: float,
    bridging_ohms: float,
) -> TwoPole:
    """Natural frequency, quality and gain of a multiple-feedback high-pass.

    f0 = 1/(2 pi sqrt(R1 R2 C2 C3)),  Q = sqrt(R1 R2 C2 C3)/(R1 (C1 + C2 + C3)),  A = -C1/C2

    input_farads: C1, from the input to the inner node [F]
    feedback_farads: C2, from the inner node to the output [F]
    inverting_farads: C3, from the inner node to the inverting input [F]
    shunt_ohms: R1, from the inner node to the reference [ohm]
    bridging_ohms: R2, from the inverting input to the output [ohm]
    Valid: ideal amplifier, stiff source.
    Source: [OAfE] section 16.4.2.2 (section from memory).

    >>> stage = high_pass(
    ...     input_farads=10e-9, feedback_farads=10e-9, inverting_farads=10e-9,
    ...     shunt_ohms=7502.64, bridging_ohms=33761.9,
    ... )
    >>> print(f"{stage.natural_hz:.1f} {stage.q:.4f} {stage.gain}")
    1000.0 0.7071 -1.0
    """
    root = sqrt(shunt_ohms * bridging_ohms * feedback_farads * inverting_farads)
    total = input_farads + feedback_farads + inverting_farads
    return TwoPole(
        natural_hz=1 / (2 * math.pi * root),
        q=root / (shunt_ohms * total),
        gain=-input_farads / feedback_farads,
    )
