"""Resistors and impedances in series, in parallel and as dividers."""

import math

from pedalwright.formulas._kinds import Value


def parallel(first: Value, second: Value) -> Value:
    """Two impedances side by side [ohm].

    Z = Z1 Z2 / (Z1 + Z2)

    first, second: impedances, real or complex [ohm]
    Valid: finite and not both zero; for an open branch use `parallel_ohms`.
    Source: common practice, no source (Kirchhoff's current law).

    >>> parallel(10e3, 40e3)
    8000.0
    """
    return first * second / (first + second)


def parallel_ohms(*ohms: float) -> float:
    """Any number of resistors side by side [ohm]; the same for capacitors in series [F].

    1/R = 1/R1 + 1/R2 + ...

    ohms: resistors; zero shorts, infinity is left out [ohm]
    Valid: zero or more; scalars only.
    Source: common practice, no source (Kirchhoff's current law).

    >>> print(f"{parallel_ohms(10e3, 22e3, 47e3):.3f}")
    5997.680
    """
    if not all(ohms):
        return 0.0
    conductance = sum(1 / each for each in ohms)
    return 1 / conductance if conductance else math.inf


def impedance_ratio(series: Value, shunt: Value) -> Value:
    """Voltage ratio of a divider of two impedances [-].

    H = Zshunt / (Zseries + Zshunt)

    series: from the input to the output [ohm]
    shunt: from the output to the reference [ohm]
    Valid: stiff source, load included in the shunt.
    Source: common practice, no source (Ohm's law).

    >>> impedance_ratio(33e3, 10e3 + 1j * 0)
    (0.23255813953488372+0j)
    """
    return shunt / (series + shunt)


def ratio(*, upper_ohms: float, lower_ohms: float, load_ohms: float = math.inf) -> float:
    """Voltage ratio of a resistive divider with a load [-].

    k = RL' / (R1 + RL'),  RL' = R2 || RL

    upper_ohms: from the supply or signal to the tap [ohm]
    lower_ohms: from the tap to the reference [ohm]
    load_ohms: beside the lower resistor [ohm]
    Valid: resistances above zero.
    Source: common practice, no source (Ohm's law).

    >>> print(f"{ratio(upper_ohms=10e3, lower_ohms=2.2e3):.6f}")
    0.180328
    """
    return 1 / (1 + upper_ohms * (1 / lower_ohms + 1 / load_ohms))


def tap_ohms(upper_ohms: float, lower_ohms: float) -> float:
    """Source resistance of a divider's tap [ohm].

    R = R1 R2 / (R1 + R2)

    upper_ohms, lower_ohms: the two resistors [ohm]
    Valid: a stiff supply at the top.
    Source: common practice, no source (Thevenin's theorem).

    >>> print(f"{tap_ohms(56e3, 8.2e3):.3f}")
    7152.648
    """
    return upper_ohms * lower_ohms / (upper_ohms + lower_ohms)


def pot_ratio(
    *, fraction: float, total_ohms: float, load_ohms: float = math.inf, source_ohms: float = 0.0
) -> float:
    """Voltage ratio of a potentiometer used as a divider [-].

    k = y R || RL over RS + (1 - y) R + (y R || RL)

    fraction: share of the resistance below the wiper, after the taper [-]
    total_ohms: track resistance [ohm]
    load_ohms: from the wiper to the reference [ohm]
    source_ohms: resistance of what drives the track [ohm]
    Valid: fraction from 0 to 1; end resistance neglected.
    Source: common practice, no source (Ohm's law).

    >>> pot_ratio(fraction=0.5, total_ohms=10e3, load_ohms=10e3)
    0.4
    """
    lower = fraction * total_ohms
    return lower / (lower + (source_ohms + (1 - fraction) * total_ohms) * (1 + lower / load_ohms))


def bias_filter_corner_hz(*, upper_ohms: float, lower_ohms: float, farads: float) -> float:
    """Corner below which supply ripple passes a filtered bias divider [Hz].

    f = 1 / (2 pi (R1 || R2) C)

    upper_ohms, lower_ohms: the divider [ohm]
    farads: capacitor from the tap to the reference [F]
    Valid: a stiff supply at the top.
    Source: common practice, no source (Thevenin's theorem).

    >>> print(f"{bias_filter_corner_hz(upper_ohms=10e3, lower_ohms=10e3, farads=47e-6):.6f}")
    0.677255
    """
    return 1 / (2 * math.pi * tap_ohms(upper_ohms, lower_ohms) * farads)
