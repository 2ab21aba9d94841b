"""Recirculating delay: decay, number of repeats, comb peaks and dips, and dry plus delayed signal.

`loop_gain` is the ratio from one repeat to the next at one frequency; the loop is stable while its size is
below one at every frequency.
"""

import math
from typing import Any

import numpy as np

from pedalwright.formulas._kinds import Phasor, ln, where

CEIL_GUARD = 1e-9


def decay_s(delay_s: float, loop_gain: float) -> float:
    """Time in which the repeats fall by 60 dB [s]; not a number for a loop gain of one or more.

    T60 = 3 tau/log10(1/g)

    delay_s: tau, time once around the loop [s]
    loop_gain: g, size of the ratio from one repeat to the next, above 0 [-]
    Valid: g below one, the same at all frequencies.
    Source: [PASP] Schroeder Reverberators (0.1 s and 0.708 give 2 s).

    >>> print(f"{decay_s(0.1, 0.708):.6f}")
    2.000444
    """
    return where(_decays(loop_gain), 3 * delay_s * math.log(10) / -ln(_safe(loop_gain)))


def loop_gain_for_decay(delay_s: float, decay_s: float) -> float:
    """Loop gain that makes the repeats fall by 60 dB in a time [-].

    g = 10^(-3 tau/T60)

    delay_s: tau, time once around the loop [s]
    decay_s: T60 [s]
    Valid: both above zero.
    Source: [PASP] Schroeder Reverberators.

    >>> print(f"{loop_gain_for_decay(29.7e-3, 1.5):.6f}")
    0.872168
    """
    return 10 ** (-3 * delay_s / decay_s)


def repeats_to_silence(loop_gain: float, fall_db: float = 60.0) -> float:
    """Repeats, not rounded, until the level has fallen by some decibels [-].

    n = (fall/20)/log10(1/g)

    loop_gain: g, above 0 and below one [-]
    fall_db: fall that counts as silence [dB]
    Valid: g below one, else not a number.
    Source: from memory (geometric series).

    >>> print(f"{repeats_to_silence(0.7):.3f}")
    19.367
    """
    return where(_decays(loop_gain), fall_db / 20 * math.log(10) / -ln(_safe(loop_gain)))


def whole_repeats_to_silence(loop_gain: float, fall_db: float = 60.0) -> int:
    """Whole repeats until the level has fallen by some decibels [-]; scalars only.

    n = ceil((fall/20)/log10(1/g)), guarded against rounding where it is exactly whole

    loop_gain: g, above 0 and below one [-]
    fall_db: fall that counts as silence [dB]
    Valid: g below one, else ValueError.
    Source: from memory (geometric series).

    >>> whole_repeats_to_silence(0.1), whole_repeats_to_silence(0.7)
    (3, 20)
    """
    return math.ceil(repeats_to_silence(loop_gain, fall_db) - CEIL_GUARD)


def stability_margin_db(loop_gain: float) -> float:
    """How far the loop is from running away [dB]; below zero it runs away.

    m = -20 log10 g

    loop_gain: g, the largest size over all frequencies [-]
    Valid: linear loop; above zero.
    Source: common practice, no source (loop gain below one).

    >>> print(f"{stability_margin_db(0.5):.4f}")
    6.0206
    """
    return -20 * ln(loop_gain) / math.log(10)


def comb_response(s: Phasor, *, delay_s: float, loop_gain: float) -> Phasor:
    """Recirculating comb: input to the sum point [-].

    H = 1/(1 - g exp(-s tau))

    s: complex frequency [rad/s]
    delay_s: tau [s]
    loop_gain: g, with its sign [-]
    Valid: |g| below one for a stable loop.
    Source: [PASP] Schroeder Reverberators (feedback comb).

    >>> print(f"{abs(comb_response(2j * math.pi * 10.0, delay_s=0.1, loop_gain=0.5)):.4f}")
    2.0000
    """
    turned: Phasor = np.exp(-s * delay_s)
    return 1 / (1 - loop_gain * turned)


def comb_peak_db(loop_gain: float) -> float:
    """Height of the recirculating comb's peaks, at k/tau for positive gain [dB].

    P = -20 log10(1 - |g|)

    loop_gain: g [-]
    Valid: |g| below one.
    Source: from memory (largest size of `comb_response`).

    >>> print(f"{comb_peak_db(0.7):.4f}")
    10.4576
    """
    return -20 * ln(1 - abs(loop_gain)) / math.log(10)


def comb_dip_db(loop_gain: float) -> float:
    """Depth of the recirculating comb's dips, at (k + 1/2)/tau for positive gain [dB].

    D = -20 log10(1 + |g|)

    loop_gain: g [-]
    Valid: |g| below one.
    Source: from memory (smallest size of `comb_response`).

    >>> print(f"{comb_dip_db(0.7):.4f}")
    -4.6090
    """
    return -20 * ln(1 + abs(loop_gain)) / math.log(10)


def mixed_notches_hz(delay_s: float, count: int, *, inverted: bool = False) -> tuple[float, ...]:
    """First notches of dry plus once-delayed signal [Hz].

    f = (2k + 1)/(2 tau); with inverted delayed signal f = k/tau, zero included

    delay_s: tau [s]
    count: how many [-]
    inverted: the delayed signal has the opposite sign [-]
    Valid: constant delay.
    Source: common practice, no source (phase of the delay).

    >>> mixed_notches_hz(5e-3, 3), mixed_notches_hz(1e-3, 3, inverted=True)
    ((100.0, 300.0, 500.0), (0.0, 1000.0, 2000.0))
    """
    offset = 0.0 if inverted else 0.5
    return tuple((k + offset) / delay_s for k in range(count))


def mixed_peak_db(wet_level: float) -> float:
    """Height of the peaks of dry plus once-delayed signal [dB].

    P = 20 log10(1 + |d|)

    wet_level: d, delayed against dry [-]
    Valid: any level.
    Source: common practice, no source (sum in phase).

    >>> print(f"{mixed_peak_db(0.5):.4f}")
    3.5218
    """
    return 20 * ln(1 + abs(wet_level)) / math.log(10)


def mixed_notch_db(wet_level: float) -> float:
    """Depth of the notches of dry plus once-delayed signal [dB].

    D = 20 log10|1 - |d||

    wet_level: d, delayed against dry [-]
    Valid: any level; minus infinity at equal levels.
    Source: common practice, no source (sum in opposite phase).

    >>> print(f"{mixed_notch_db(0.9):.4f}")
    -20.0000
    """
    return 20 * ln(abs(1 - abs(wet_level))) / math.log(10)


def _decays(loop_gain: float) -> Any:
    """True (per element) where the repeats die away."""
    return np.logical_and(np.greater(loop_gain, 0), np.less(loop_gain, 1))


def _safe(loop_gain: float) -> float:
    """The gain where it decays, else one half, so that the unused branch computes nothing wild."""
    return where(_decays(loop_gain), loop_gain, 0.5)
