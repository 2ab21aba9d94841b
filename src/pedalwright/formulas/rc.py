"""One resistor with one capacitor, and chains of them."""

import math
from dataclasses import dataclass

from pedalwright.formulas._kinds import Phasor, sqrt


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoSections:
    """Two RC sections without a buffer between: their real poles and the -3 dB frequency [Hz]."""

    lower_pole_hz: float
    upper_pole_hz: float
    minus_3db_hz: float


def corner_hz(ohms: float, farads: float) -> float:
    """Corner of a resistor and a capacitor [Hz].

    f = 1 / (2 pi R C)

    ohms: all the resistance the capacitor sees, source and load included [ohm]
    farads: capacitance [F]
    Valid: both above zero.
    Source: [Coughlin] Ex. 11.1.

    >>> print(f"{corner_hz(22e3, 1e-9):.3f}")
    7234.316
    """
    return 1 / (2 * math.pi * ohms * farads)


def ohms_for_corner(corner_hz: float, farads: float) -> float:
    """Resistance that puts the corner at a frequency [ohm].

    R = 1 / (2 pi f C)

    corner_hz: wanted corner [Hz]
    farads: capacitance [F]
    Valid: both above zero.
    Source: [Gayakwad] Ex. 7.1; [Coughlin] Ex. 11.2.

    >>> print(f"{ohms_for_corner(1000.0, 10e-9):.0f}")
    15915
    """
    return 1 / (2 * math.pi * corner_hz * farads)


def farads_for_corner(corner_hz: float, ohms: float) -> float:
    """Capacitance that puts the corner at a frequency [F].

    C = 1 / (2 pi f R)

    corner_hz: wanted corner [Hz]
    ohms: all the resistance the capacitor sees [ohm]
    Valid: both above zero.
    Source: [Floyd] Ex. 15.4.

    >>> print(f"{farads_for_corner(2860.0, 1800.0) * 1e9:.4f}")
    30.9159
    """
    return 1 / (2 * math.pi * corner_hz * ohms)


def low_pass_response(
    s: Phasor, *, ohms: float, farads: float, load_ohms: float = math.inf, source_ohms: float = 0.0
) -> Phasor:
    """Voltage ratio of a series resistor and a shunt capacitor with a load beside it [-].

    H = g / (1 + s g (RS + R) C),  g = RL / (RS + R + RL)

    s: complex frequency [rad/s]
    ohms: series resistor [ohm]
    farads: shunt capacitor [F]
    load_ohms: resistance beside the capacitor [ohm]
    source_ohms: resistance of what drives it [ohm]
    Valid: linear, any frequency.
    Source: common practice, no source (voltage divider).

    >>> print(f"{abs(low_pass_response(2j * math.pi * 1591.549431, ohms=10e3, farads=10e-9)):.6f}")
    0.707107
    """
    series = source_ohms + ohms
    share = 1 / (1 + series / load_ohms)
    return share / (1 + s * (share * series * farads))


def low_pass_corner_hz(
    *, ohms: float, farads: float, load_ohms: float = math.inf, source_ohms: float = 0.0
) -> float:
    """Corner of a loaded RC low-pass [Hz].

    f = 1 / (2 pi ((RS + R) || RL) C)

    ohms: series resistor [ohm]
    farads: shunt capacitor [F]
    load_ohms: resistance beside the capacitor [ohm]
    source_ohms: resistance of what drives it [ohm]
    Valid: resistances above zero.
    Source: common practice, no source (Thevenin's theorem).

    >>> print(f"{low_pass_corner_hz(ohms=10e3, farads=10e-6, load_ohms=10e3):.5f}")
    3.18310
    """
    series = source_ohms + ohms
    return corner_hz(series / (1 + series / load_ohms), farads)


def high_pass_response(s: Phasor, *, farads: float, ohms: float, source_ohms: float = 0.0) -> Phasor:
    """Voltage ratio of a series capacitor into a resistor [-].

    H = s C R / (1 + s C (R + RS))

    s: complex frequency [rad/s]
    farads: series capacitor [F]
    ohms: resistance it works into, loads in parallel included [ohm]
    source_ohms: resistance of what drives it [ohm]
    Valid: linear, any frequency.
    Source: common practice, no source (voltage divider).

    >>> print(f"{abs(high_pass_response(2j * math.pi * 1591.549431, farads=10e-9, ohms=10e3)):.6f}")
    0.707107
    """
    return s * (farads * ohms) / (1 + s * (farads * (ohms + source_ohms)))


def high_pass_corner_hz(*, farads: float, ohms: float, source_ohms: float = 0.0) -> float:
    """Corner of a coupling capacitor [Hz].

    f = 1 / (2 pi C (RS + R))

    farads: series capacitor [F]
    ohms: resistance it works into [ohm]
    source_ohms: resistance of what drives it; it counts [ohm]
    Valid: resistances above zero.
    Source: [Gayakwad] Ex. 6.1.

    >>> print(f"{high_pass_corner_hz(farads=0.1e-6, ohms=100.0, source_ohms=50.0):.2f}")
    10610.33
    """
    return corner_hz(ohms + source_ohms, farads)


def two_sections(
    *, first_ohms: float, first_farads: float, second_ohms: float, second_farads: float
) -> TwoSections:
    """Two RC low-pass sections in a row without a buffer: poles and -3 dB point [Hz].

    1 / H = 1 + s (R1 C1 + R1 C2 + R2 C2) + s^2 R1 C1 R2 C2

    first_ohms, second_ohms: series resistors in signal order [ohm]
    first_farads, second_farads: shunt capacitors in signal order [F]
    Valid: stiff source, no load. The poles are always real.
    Source: common practice, no source (mesh analysis).

    >>> both = two_sections(first_ohms=10e3, first_farads=10e-9, second_ohms=10e3, second_farads=10e-9)
    >>> print(f"{both.lower_pole_hz:.3f} {both.upper_pole_hz:.3f} {both.minus_3db_hz:.3f}")
    607.918 4166.731 595.620
    """
    linear = first_ohms * (first_farads + second_farads) + second_ohms * second_farads
    square = first_ohms * first_farads * second_ohms * second_farads
    # The larger root first, the other from the product: no digits lost when the poles are far apart.
    upper = (linear + sqrt(linear**2 - 4 * square)) / (2 * square)
    lower = 1 / (square * upper)
    # |1/H|^2 = 1 + (linear^2 - 2 square) w^2 + square^2 w^4 = 2
    middle = linear**2 - 2 * square
    w_squared = 2 / (middle + sqrt(middle**2 + 4 * square**2))
    turn = 2 * math.pi
    return TwoSections(
        lower_pole_hz=lower / turn, upper_pole_hz=upper / turn, minus_3db_hz=sqrt(w_squared) / turn
    )


def cascade_low_pass_hz(corner_hz: float, sections: int) -> float:
    """-3 dB frequency of equal, buffered low-pass sections [Hz].

    f = fc sqrt(2^(1/n) - 1)

    corner_hz: corner of one section [Hz]
    sections: how many [-]
    Valid: a buffer between the sections.
    Source: common practice, no source (|H|^(2n) = 1/2).

    >>> print(f"{cascade_low_pass_hz(1591.549431, 2):.3f} {cascade_low_pass_hz(1591.549431, 3):.3f}")
    1024.312 811.411
    """
    return corner_hz * sqrt(2 ** (1 / sections) - 1)


def cascade_high_pass_hz(corner_hz: float, sections: int) -> float:
    """-3 dB frequency of equal, buffered high-pass sections [Hz].

    f = fc / sqrt(2^(1/n) - 1)

    corner_hz: corner of one section [Hz]
    sections: how many [-]
    Valid: a buffer between the sections.
    Source: common practice, no source (|H|^(2n) = 1/2).

    >>> print(f"{cascade_high_pass_hz(10.0, 2):.4f}")
    15.5377
    """
    return corner_hz / sqrt(2 ** (1 / sections) - 1)
