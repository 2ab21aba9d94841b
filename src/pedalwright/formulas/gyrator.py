"""The one-amplifier gyrator: a capacitor made to look like an inductor."""

import math

from pedalwright.formulas._kinds import Phasor, sqrt


def impedance(s: Phasor, *, line_ohms: float, ground_ohms: float, farads: float) -> Phasor:
    """Input impedance of a follower gyrator, loading by its own parts neglected [ohm].

    Z = RL (1 + s R C)/(1 + s RL C)

    s: complex frequency [rad/s]
    line_ohms: RL, from the input to the follower's output [ohm]
    ground_ohms: R, from the + input to the reference [ohm]
    farads: C, from the input to the + input [F]
    Valid: ideal follower.
    Source: common practice, no source (nodal analysis).

    >>> z = impedance(2j * math.pi * 1000.0, line_ohms=1e3, ground_ohms=100e3, farads=10e-9)
    >>> print(f"{z:.3f}")
    1389.299+6195.893j
    """
    return line_ohms * (1 + s * (ground_ohms * farads)) / (1 + s * (line_ohms * farads))


def inductance_h(*, line_ohms: float, ground_ohms: float, farads: float) -> float:
    """Inductance at low frequency [H].

    L = (R - RL) RL C, nominally R RL C

    line_ohms: RL, from the input to the follower's output; also the loss in series [ohm]
    ground_ohms: R, from the + input to the reference [ohm]
    farads: C, from the input to the + input [F]
    Valid: well below 1/(2 pi RL C).
    Source: common practice, no source (series expansion of `impedance`).

    >>> print(f"{inductance_h(line_ohms=1e3, ground_ohms=100e3, farads=10e-9):.3f}")
    0.990
    """
    return (ground_ohms - line_ohms) * line_ohms * farads


def resonance_hz(*, henries: float, farads: float) -> float:
    """Resonance of an inductor and a capacitor [Hz].

    f = 1/(2 pi sqrt(L C))

    henries: L [H]
    farads: C in series or beside it [F]
    Valid: small losses.
    Source: common practice, no source.

    >>> print(f"{resonance_hz(henries=1.0, farads=100e-9):.3f}")
    503.292
    """
    return 1 / (2 * math.pi * sqrt(henries * farads))


def series_q(*, henries: float, farads: float, loss_ohms: float) -> float:
    """Quality of a series resonant circuit [-].

    Q = sqrt(L/C)/R

    henries: L [H]
    farads: C [F]
    loss_ohms: all resistance in the loop [ohm]
    Valid: linear.
    Source: common practice, no source.

    >>> print(f"{series_q(henries=1.0, farads=100e-9, loss_ohms=1e3):.4f}")
    3.1623
    """
    return sqrt(henries / farads) / loss_ohms
