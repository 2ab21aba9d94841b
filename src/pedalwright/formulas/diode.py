"""The junction diode: its law, its inverse, and its closed form with a series resistor."""

import math

import numpy as np

from pedalwright.formulas._kinds import exp, ln, plain
from pedalwright.formulas._wright_omega import wright_omega

BOLTZMANN_J_PER_K = 1.380649e-23
ELECTRON_C = 1.602176634e-19


def thermal_v(kelvin: float) -> float:
    """Thermal voltage [V].

    VT = k T/q

    kelvin: absolute temperature [K]
    Valid: above zero.
    Source: [SI], exact constants.

    >>> print(f"{thermal_v(300.15) * 1e3:.4f}")
    25.8649
    """
    return BOLTZMANN_J_PER_K * kelvin / ELECTRON_C


def current_a(volts: float, *, saturation_a: float, emission: float, kelvin: float = 300.15) -> float:
    """Current of a junction at a voltage [A].

    I = Is (exp(V/(n VT)) - 1)

    volts: forward voltage of the junction itself [V]
    saturation_a: Is [A]
    emission: n [-]
    kelvin: junction temperature at which Is holds [K]
    Valid: no breakdown, no series resistance.
    Source: [Boylestad] chapter 1 (chapter from memory).

    >>> print(f"{current_a(0.6, saturation_a=1e-14, emission=1.0) * 1e3:.4f}")
    0.1187
    """
    return saturation_a * plain(np.expm1(volts / (emission * thermal_v(kelvin))))


def forward_v(
    amps: float, *, saturation_a: float, emission: float, series_ohms: float = 0.0, kelvin: float = 300.15
) -> float:
    """Forward voltage at a current [V].

    V = n VT ln(1 + I/Is) + I Rs

    amps: forward current, above -Is [A]
    saturation_a: Is [A]
    emission: n [-]
    series_ohms: Rs [ohm]
    kelvin: junction temperature at which Is holds [K]
    Valid: no breakdown.
    Source: [Banwell]; model values are a choice of the caller.

    >>> print(f"{forward_v(1e-3, saturation_a=2.52e-9, emission=1.752, series_ohms=0.568):.5f}")
    0.58474
    """
    return emission * thermal_v(kelvin) * plain(np.log1p(amps / saturation_a)) + amps * series_ohms


def series_current_a(
    supply_v: float, *, ohms: float, saturation_a: float, emission: float, kelvin: float = 300.15
) -> float:
    """Current of a diode and a resistor in series across a voltage [A].

    I = (n VT/R) W((Is R/(n VT)) exp((V + Is R)/(n VT))) - Is, W the Lambert function

    supply_v: voltage across both [V]
    ohms: R, the diode's own series resistance included [ohm]
    saturation_a: Is [A]
    emission: n [-]
    kelvin: junction temperature at which Is holds [K]
    Valid: resistance above zero, no breakdown; evaluated without overflow.
    Source: [Banwell], equation for the current.

    >>> print(f"{series_current_a(9.0, ohms=1000.568, saturation_a=2.52e-9, emission=1.752) * 1e3:.6f}")
    8.315124
    """
    scale = emission * thermal_v(kelvin)
    exponent = ln(saturation_a * ohms / scale) + (supply_v + saturation_a * ohms) / scale
    return plain(wright_omega(exponent)) * scale / ohms - saturation_a


def slope_ohms(amps: float, *, saturation_a: float, emission: float, kelvin: float = 300.15) -> float:
    """Small-signal resistance of a junction at a current [ohm].

    r = n VT/(I + Is)

    amps: forward current [A]
    saturation_a: Is [A]
    emission: n [-]
    kelvin: junction temperature [K]
    Valid: small signals.
    Source: [Boylestad] chapter 1 (chapter from memory).

    >>> print(f"{slope_ohms(1e-3, saturation_a=1e-14, emission=1.0, kelvin=300.0):.3f}")
    25.852
    """
    return emission * thermal_v(kelvin) / (amps + saturation_a)


def pair_zero_bias_ohms(saturation_a: float, scale_v: float) -> float:
    """Small-signal resistance of two diodes back to back with no bias [ohm].

    r = n VT/(2 Is)

    saturation_a: Is of each [A]
    scale_v: n VT [V]
    Valid: signals much smaller than n VT.
    Source: [YehAbelSmith], linear part of the diode limiter.

    >>> print(f"{pair_zero_bias_ohms(2.52e-9, 45.3e-3) / 1e6:.5f}")
    8.98810
    """
    return scale_v / (2 * saturation_a)


def pair_current_a(volts: float, *, saturation_a: float, scale_v: float) -> float:
    """Current of two equal diodes back to back [A].

    I = 2 Is sinh(V/(n VT))

    volts: voltage across the pair [V]
    saturation_a: Is of each [A]
    scale_v: n VT [V]
    Valid: no series resistance.
    Source: [YehAbelSmith].

    >>> print(f"{pair_current_a(0.515436430, saturation_a=2.52e-9, scale_v=45.3e-3) * 2200:.6f}")
    0.484564
    """
    x = volts / scale_v
    return saturation_a * (exp(x) - exp(-x))


def turn_on_v(*, amps: float, saturation_a: float, scale_v: float) -> float:
    """Voltage at which a diode carries a current much larger than Is [V].

    V = n VT ln(I/Is)

    amps: current [A]
    saturation_a: Is [A]
    scale_v: n VT [V]
    Valid: current well above Is.
    Source: [Boylestad] chapter 1 (chapter from memory).

    >>> print(f"{turn_on_v(amps=1e-3, saturation_a=2.52e-9, scale_v=45.3e-3):.4f}")
    0.5840
    """
    return scale_v * math.log(amps / saturation_a)
