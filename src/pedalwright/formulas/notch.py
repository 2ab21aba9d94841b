"""Twin-T, bridged-T and Wien networks."""

import math
from dataclasses import dataclass

from pedalwright.formulas._kinds import Phasor, sqrt
from pedalwright.formulas.two_pole import TwoPole


@dataclass(frozen=True, slots=True, kw_only=True)
class BridgedT:
    """A bridged-T notch: frequency [Hz], voltage ratio there [-], quality of the numerator [-]."""

    notch_hz: float
    ratio_at_notch: float
    numerator_q: float


def notch_hz(ohms: float, farads: float) -> float:
    """Notch frequency of a balanced twin-T; also the middle of a Wien network [Hz].

    f0 = 1/(2 pi R C)

    ohms: series resistor R (the shunt one is R/2) [ohm]
    farads: series capacitor C (the shunt one is 2 C) [F]
    Valid: parts in those ratios.
    Source: [Gayakwad] Ex. 7.10.

    >>> print(f"{notch_hz(39008.56, 68e-9):.3f}")
    60.000
    """
    return 1 / (2 * math.pi * ohms * farads)


def twin_t_response(
    s: Phasor,
    *,
    first_ohms: float,
    second_ohms: float,
    shunt_ohms: float,
    first_farads: float,
    second_farads: float,
    shunt_farads: float,
    load_y: Phasor = 0.0,
) -> Phasor:
    """Voltage ratio of a twin-T of any six parts [-].

    Two T networks in parallel: H = (T1 + T2)/(D1 + D2 + YL) with, for series arms a, b and shunt c,
    T = c/(ab + bc + ca) and D = (a + c)/(ab + bc + ca)

    s: complex frequency, not zero [rad/s]
    first_ohms, second_ohms: series resistors from the input on [ohm]
    shunt_ohms: resistor from between the capacitors to the reference [ohm]
    first_farads, second_farads: series capacitors from the input on [F]
    shunt_farads: capacitor from between the resistors to the reference [F]
    load_y: admittance of the load [S]
    Valid: stiff source.
    Source: common practice, no source (two-port parameters of a T).

    >>> h = twin_t_response(
    ...     2j * math.pi * 0.5, first_ohms=1.0, second_ohms=1.0, shunt_ohms=0.5,
    ...     first_farads=1 / (2 * math.pi), second_farads=1 / (2 * math.pi), shunt_farads=1 / math.pi,
    ... )
    >>> print(f"{abs(h):.6f}")
    0.351123
    """
    c_first, c_second, c_shunt = 1 / (s * first_farads), 1 / (s * second_farads), 1 / (s * shunt_farads)
    resistive = first_ohms * second_ohms + c_shunt * (first_ohms + second_ohms)
    capacitive = c_first * c_second + shunt_ohms * (c_first + c_second)
    through = c_shunt / resistive + shunt_ohms / capacitive
    driving = (first_ohms + c_shunt) / resistive + (c_first + shunt_ohms) / capacitive
    return through / (driving + load_y)


def active_twin_t(*, ohms: float, farads: float, gain: float) -> TwoPole:
    """Notch of a balanced twin-T whose shunt resistor is driven by the amplifier's output.

    f0 = 1/(2 pi R C),  Q = 1/(4 - 2 K)

    ohms: series resistor R; R/2 runs to the output [ohm]
    farads: series capacitor C; 2 C runs to the reference [F]
    gain: K of the non-inverting amplifier, below two [-]
    Valid: ideal amplifier, balanced parts; see `two_pole.notch_response`.
    Source: [Franco] Ex. 3.14.

    >>> stage = active_twin_t(ohms=26.53e3, farads=100e-9, gain=1 + 9.58 / 10)
    >>> print(f"{stage.natural_hz:.2f} {stage.q:.2f}")
    59.99 11.90
    """
    return TwoPole(natural_hz=notch_hz(ohms, farads), q=1 / (4 - 2 * gain), gain=gain)


def wien_response(s: Phasor, *, ohms: float, farads: float) -> Phasor:
    """Voltage ratio of a Wien divider, series RC into parallel RC with equal parts [-].

    H = 1/(3 + s R C + 1/(s R C))

    s: complex frequency, not zero [rad/s]
    ohms: each resistor [ohm]
    farads: each capacitor [F]
    Valid: equal parts, no load.
    Source: [Franco] chapter 10 (chapter from memory).

    >>> print(f"{abs(wien_response(1j, ohms=1.0, farads=1.0)):.6f}")
    0.333333
    """
    x = s * (ohms * farads)
    return 1 / (3 + x + 1 / x)


def bridged_t(*, shunt_ohms: float, bridge_ohms: float, farads: float) -> BridgedT:
    """Notch of a bridged-T of two equal series capacitors, a shunt and a bridging resistor.

    f0 = 1/(2 pi C sqrt(R1 R2)),  H(f0) = 2 R1/(2 R1 + R2),  numerator Q = sqrt(R2/R1)/2

    shunt_ohms: R1, from between the capacitors to the reference [ohm]
    bridge_ohms: R2, across both capacitors [ohm]
    farads: each series capacitor [F]
    Valid: stiff source, no load.
    Source: common practice, no source (nodal analysis).

    >>> network = bridged_t(shunt_ohms=1e3, bridge_ohms=100e3, farads=10e-9)
    >>> print(f"{network.notch_hz:.3f} {20 * math.log10(network.ratio_at_notch):.4f}")
    1591.549 -34.1514
    """
    return BridgedT(
        notch_hz=1 / (2 * math.pi * farads * sqrt(shunt_ohms * bridge_ohms)),
        ratio_at_notch=2 * shunt_ohms / (2 * shunt_ohms + bridge_ohms),
        numerator_q=sqrt(bridge_ohms / shunt_ohms) / 2,
    )


def bridged_t_response(s: Phasor, *, shunt_ohms: float, bridge_ohms: float, farads: float) -> Phasor:
    """Voltage ratio of a bridged-T of two equal series capacitors [-].

    H = (1 + 2 s R1 C + s^2 R1 R2 C^2)/(1 + s C (2 R1 + R2) + s^2 R1 R2 C^2)

    s: complex frequency [rad/s]
    shunt_ohms: R1, from between the capacitors to the reference [ohm]
    bridge_ohms: R2, across both capacitors [ohm]
    farads: each series capacitor [F]
    Valid: stiff source, no load.
    Source: common practice, no source (nodal analysis).

    >>> h = bridged_t_response(1j * 5e3, shunt_ohms=1e3, bridge_ohms=100e3, farads=10e-9)
    >>> print(f"{20 * math.log10(abs(h)):.4f}")
    -16.6666
    """
    square = s * s * (shunt_ohms * bridge_ohms * farads**2)
    top = 1 + s * (2 * shunt_ohms * farads) + square
    return top / (top + s * (bridge_ohms * farads))
