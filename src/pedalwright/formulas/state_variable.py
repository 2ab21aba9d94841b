"""The state-variable filter: two integrators and a summing amplifier."""

import math


def centre_hz(ohms: float, farads: float) -> float:
    """Centre frequency of both integrators alike [Hz].

    f0 = 1/(2 pi R C)

    ohms: integrator resistor [ohm]
    farads: integrator capacitor [F]
    Valid: equal integrators, unity summing resistors.
    Source: [Floyd] Ex. 15.8.

    >>> print(f"{centre_hz(12e3, 0.22e-6):.5f}")
    60.28596
    """
    return 1 / (2 * math.pi * ohms * farads)


def quality(upper_ohms: float, lower_ohms: float) -> float:
    """Quality set by the divider from the band-pass output to the + input [-].

    Q = (1 + R5/R6)/3

    upper_ohms: R5, from the band-pass output [ohm]
    lower_ohms: R6, to the reference [ohm]
    Valid: equal integrators, three equal summing resistors.
    Source: [Floyd] Ex. 15.7.

    >>> print(f"{quality(100e3, 1e3):.4f}")
    33.6667
    """
    return (1 + upper_ohms / lower_ohms) / 3
