"""The A-weighting curve."""

import math

from pedalwright.formulas._kinds import ln, sqrt

_LOWEST_HZ, _LOW_HZ, _MIDDLE_HZ, _HIGH_HZ = 20.598997, 107.65265, 737.86223, 12194.217
NOISE_BANDWIDTH_HZ = 13462.15
"""Flat bandwidth that passes as much white noise power as the whole A curve (its integral)."""


def a_weighting_ratio(frequency_hz: float) -> float:
    """Weight of the A curve, one at 1 kHz [-].

    A = RA(f)/RA(1000),
    RA = f4^2 f^4/((f^2 + f1^2) sqrt((f^2 + f2^2)(f^2 + f3^2)) (f^2 + f4^2))

    frequency_hz: frequency [Hz]
    Valid: 0 and up. Tables give it at exact third-octave frequencies 1000 10^(n/10).
    Source: [IEC61672]; corner frequencies to more than four figures from memory.

    >>> print(f"{a_weighting_ratio(1000.0):.4f}")
    1.0000
    """
    return _shape(frequency_hz) / _shape(1000.0)


def a_weighting_db(frequency_hz: float) -> float:
    """Weight of the A curve [dB].

    20 log10 of `a_weighting_ratio`

    frequency_hz: frequency, above zero [Hz]
    Valid: above zero.
    Source: [IEC61672]; corner frequencies to more than four figures from memory.

    >>> print(f"{a_weighting_db(100.0):.3f} {a_weighting_db(10e3):.3f}")
    -19.143 -2.492
    """
    return 20 * ln(a_weighting_ratio(frequency_hz)) / math.log(10)


def _shape(frequency_hz: float) -> float:
    square = frequency_hz**2
    middle = sqrt((square + _LOW_HZ**2) * (square + _MIDDLE_HZ**2))
    return (_HIGH_HZ * square) ** 2 / ((square + _LOWEST_HZ**2) * middle * (square + _HIGH_HZ**2))
