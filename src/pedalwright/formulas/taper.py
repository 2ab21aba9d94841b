"""Potentiometer tapers: from the turn of the shaft to the share of the track below the wiper.

`turn` is the rotation from 0 (counter-clockwise end) to 1, the result the resistance from the
counter-clockwise end as a fraction of the whole. The letter codes differ between countries; A for
audio and B for linear is the present usage of most makers (common practice, no source).
"""

from collections.abc import Sequence
from typing import Any

import numpy as np

from pedalwright.formulas._kinds import plain, where

MAKER_TURNS = (0.050, 0.300, 0.510, 0.700, 0.920, 0.970)
MAKER_FRACTIONS = {
    5: (0.003, 0.015, 0.057, 0.284, 0.954, 0.999),
    10: (0.003, 0.028, 0.111, 0.363, 0.959, 0.999),
    15: (0.003, 0.063, 0.162, 0.410, 0.958, 1.000),
    20: (0.004, 0.084, 0.210, 0.443, 0.952, 1.000),
    25: (0.002, 0.123, 0.259, 0.501, 0.954, 0.999),
    30: (0.004, 0.151, 0.311, 0.542, 0.965, 1.000),
}
"""Break-points of makers' audio laws by their percentage at mid-turn, from [Holmes]."""


def linear(turn: float) -> float:
    """Linear law [-].

    y = x

    turn: x, rotation from 0 to 1 [-]
    Valid: 0 to 1, else not a number; real parts are flat in the last few percent at each end.
    Source: [Holmes], companion table.

    >>> linear(0.3)
    0.3
    """
    return where(_inside(turn), turn)


def audio(turn: float, middle: float = 0.15) -> float:
    """Audio law as one exponential through a given mid-point [-].

    y = (a^x - 1)/(a - 1),  a = ((1 - ym)/ym)^2

    turn: x, rotation from 0 to 1 [-]
    middle: ym, fraction at mid-turn; 0.1 to 0.15 is common [-]
    Valid: 0 to 1, else not a number; middle between 0 and 1. Real parts are two or three straight pieces.
    Source: common practice, no source; the mid-points are those of [Holmes].

    >>> print(f"{audio(0.5):.4f} {audio(0.75, 0.10):.4f}")
    0.1500 0.3250
    """
    if abs(middle - 0.5) < 1e-9:
        return linear(turn)
    base = ((1 - middle) / middle) ** 2
    return where(_inside(turn), (plain(np.power(base, turn)) - 1) / (base - 1))


def reverse_audio(turn: float, middle: float = 0.15) -> float:
    """Reverse audio law, the mirror of `audio` [-].

    y = 1 - audio(1 - x)

    turn: x, rotation from 0 to 1 [-]
    middle: fraction of the audio law it mirrors, at mid-turn [-]
    Valid: 0 to 1, else not a number.
    Source: from memory (mirror image); mid-points as [Holmes].

    >>> print(f"{reverse_audio(0.5):.4f}")
    0.8500
    """
    return 1 - audio(1 - turn, middle)


def two_segments(turn: float, middle: float = 0.15) -> float:
    """Audio law as two straight pieces [-].

    y = 2 ym x up to x = 1/2, then straight to 1

    turn: x, rotation from 0 to 1 [-]
    middle: ym, fraction at mid-turn [-]
    Valid: 0 to 1, else not a number.
    Source: common practice, no source (cheap tracks are printed so).

    >>> print(f"{two_segments(0.25):.4f} {two_segments(0.75):.4f}")
    0.0750 0.5750
    """
    return from_points(turn, turns=(0.0, 0.5, 1.0), fractions=(0.0, middle, 1.0))


def from_points(turn: float, *, turns: Sequence[float], fractions: Sequence[float]) -> float:
    """Any law as straight lines between points [-].

    linear interpolation of (x, y); flat beyond the first and the last point

    turn: x, rotation from 0 to 1 [-]
    turns: rotation of each point, rising [-]
    fractions: resistance fraction of each point [-]
    Valid: 0 to 1, else not a number.
    Source: common practice, no source.

    >>> print(f"{from_points(0.5, turns=MAKER_TURNS, fractions=MAKER_FRACTIONS[15]):.3f}")
    0.157
    """
    return where(_inside(turn), plain(np.interp(turn, turns, fractions)))


def maker_audio(turn: float, percent: int = 15) -> float:
    """Audio law of a maker's table, straight lines between its break-points [-].

    turn: x, rotation from 0 to 1 [-]
    percent: 5, 10, 15, 20, 25 or 30, the percentage at mid-turn [-]
    Valid: 0 to 1, else not a number. The table's own curve is cubic between some of the points.
    Source: [Holmes], companion table of maker-specified laws.

    >>> print(f"{maker_audio(0.5, 5):.3f} {maker_audio(0.5, 30):.3f}")
    0.055 0.303
    """
    fractions = (0.0, *MAKER_FRACTIONS[percent], 1.0)
    return from_points(turn, turns=(0.0, *MAKER_TURNS, 1.0), fractions=fractions)


def turn_for(fraction: float, middle: float = 0.15) -> float:
    """Rotation at which the one-exponential audio law reaches a fraction [-].

    x = ln(1 + y (a - 1))/ln a,  a = ((1 - ym)/ym)^2

    fraction: y, from 0 to 1 [-]
    middle: ym, fraction at mid-turn [-]
    Valid: 0 to 1, else not a number.
    Source: from memory (inverse of `audio`).

    >>> print(f"{turn_for(0.15):.4f}")
    0.5000
    """
    if abs(middle - 0.5) < 1e-9:
        return linear(fraction)
    base = ((1 - middle) / middle) ** 2
    inside = where(_inside(fraction), fraction)
    return plain(np.log1p(inside * (base - 1)) / np.log(base))


def _inside(turn: float) -> Any:
    """True (per element) where a turn lies on the track."""
    return np.logical_and(np.greater_equal(turn, 0), np.less_equal(turn, 1))
