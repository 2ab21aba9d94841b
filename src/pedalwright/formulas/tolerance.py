"""Tolerance arithmetic: worst cases, root sum of squares, relative sensitivity."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Lowest and highest result as ratios to the nominal one, or as the quantity itself where said [-]."""

    lowest: float
    highest: float


def rc_corner_spread(resistor: float, capacitor: float) -> Spread:
    """Worst-case ratio of an RC corner to its nominal value.

    f/f0 = 1/((1 +/- r)(1 +/- c))

    resistor, capacitor: tolerances as fractions [-]
    Valid: below one.
    Source: common practice, no source (extremes of a product).

    >>> spread = rc_corner_spread(0.05, 0.10)
    >>> print(f"{spread.lowest:.6f} {spread.highest:.6f}")
    0.865801 1.169591
    """
    return Spread(
        lowest=1 / ((1 + resistor) * (1 + capacitor)), highest=1 / ((1 - resistor) * (1 - capacitor))
    )


def root_sum_square(tolerances: Sequence[float]) -> float:
    """Spread of a product of independent parts, all with sensitivity one [-].

    t = sqrt(t1^2 + t2^2 + ...)

    tolerances: fractions [-]
    Valid: small, independent tolerances.
    Source: common practice, no source.

    >>> print(f"{100 * root_sum_square([0.05, 0.10]):.3f}")
    11.180
    """
    return math.hypot(*tolerances)


def divider_spread(*, upper_ohms: float, lower_ohms: float, tolerance: float) -> Spread:
    """Extreme ratios of a divider of two parts with the same tolerance; the ratios themselves.

    k = R2 (1 +/- t)/(R1 (1 -/+ t) + R2 (1 +/- t))

    upper_ohms, lower_ohms: R1, R2 [ohm]
    tolerance: t as a fraction [-]
    Valid: below one.
    Source: common practice, no source (extremes of a ratio).

    >>> spread = divider_spread(upper_ohms=10e3, lower_ohms=10e3, tolerance=0.05)
    >>> print(f"{spread.lowest:.3f} {spread.highest:.3f}")
    0.475 0.525
    """
    low, high = 1 - tolerance, 1 + tolerance
    return Spread(
        lowest=lower_ohms * low / (upper_ohms * high + lower_ohms * low),
        highest=lower_ohms * high / (upper_ohms * low + lower_ohms * high),
    )


def common_mode_rejection_db(gain: float, tolerance: float) -> float:
    """Worst-case common-mode rejection of a difference amplifier of four resistors [dB].

    CMRR = 20 log10((1 + G)/(4 t))

    gain: G, difference gain [-]
    tolerance: t of each resistor as a fraction [-]
    Valid: small tolerance, ideal amplifier.
    Source: [Franco] chapter 2 (chapter from memory).

    >>> print(f"{common_mode_rejection_db(1.0, 0.01):.3f} {common_mode_rejection_db(10.0, 0.01):.3f}")
    33.979 48.787
    """
    return 20 * math.log10((1 + gain) / (4 * tolerance))


def relative_sensitivity(result_of: Callable[[float], float], value: float, *, change: float = 1e-5) -> float:
    """Relative change of a result per relative change of one value [-].

    S = (x/y) dy/dx, by a symmetric difference

    result_of: the result as a function of the value [-]
    value: x, not zero [-]
    change: relative step [-]
    Valid: smooth functions; good to about nine figures.
    Source: [Franco] Ex. 3.21 (definition of S).

    >>> print(f"{relative_sensitivity(lambda gain: 1 / (3 - gain), 2.8):.3f}")
    14.000
    """
    above, below = result_of(value * (1 + change)), result_of(value * (1 - change))
    return (above - below) / (2 * change * result_of(value))
