"""A plucked string: a loop one period long, started with noise, that loses a little at every turn.

Sources: K. Karplus and A. Strong, "Digital Synthesis of Plucked-String and Drum Timbres", Computer Music
Journal 7(2), 1983 (the loop with its two-point average); D. A. Jaffe and J. O. Smith, "Extensions of the
Karplus-Strong Plucked-String Algorithm", same issue (tuning by an all-pass, decay shortened by a factor in
the loop or stretched by unequal weights of the average, the place of the pick as a comb, loudness of the
stroke as a low-pass on the noise). Both from memory.

The string is always computed at one rate, so that it sounds the same whatever rate it is wanted at.
"""

import math
from dataclasses import dataclass

import numpy as np

from pedalwright.solve.arrays import FloatArray

STRING_RATE_HZ = 48000.0
SEEDS_A_STROKE = 6
"""one throw of the dice for every string of a chord"""
LOWEST_HZ, HIGHEST_HZ = 20.0, 4000.0
"""pitches whose loop is long enough to be a string at this rate"""
_SMALLEST_ALL_PASS = 0.3
"""frames of delay left to the all-pass at the least: below that its phase bends at high frequencies"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Loop:
    """The string's loop: `period` whole frames, then the average with weights 1 - `share` and `share`, the
    all-pass with `coefficient`, and the factor `kept` at every turn.
    """

    period: int
    share: float
    coefficient: float
    kept: float


def loop_of(pitch_hz: float, decay_s: float) -> Loop:
    """The loop of a string of a pitch [Hz] whose fundamental dies away by 60 dB in `decay_s` [s].

    Exact at the fundamental. Higher harmonics die sooner, as the average has it.
    """
    turn = 2 * math.pi * pitch_hz / STRING_RATE_HZ
    gain = 10 ** (-3 / (pitch_hz * decay_s))
    plain = math.cos(turn / 2)  # gain of the average with equal weights
    if gain <= plain:
        share, kept = 0.5, gain / plain
    else:
        # (1-S)^2 + S^2 + 2 S (1-S) cos(turn) = gain^2, the smaller root
        product = (1 - gain**2) / (2 * (1 - math.cos(turn)))
        share, kept = 0.5 - math.sqrt(0.25 - product), 1.0
    return _tuned(turn, share, kept)


def _tuned(turn: float, share: float, kept: float) -> Loop:
    """The whole delay of the loop, at the fundamental, is one period."""
    average = math.atan2(share * math.sin(turn), 1 - share + share * math.cos(turn)) / turn
    left = 2 * math.pi / turn - average
    period = math.floor(left - _SMALLEST_ALL_PASS)
    delay = left - period
    coefficient = math.sin(turn * (1 - delay) / 2) / math.sin(turn * (1 + delay) / 2)
    return Loop(period=period, share=share, coefficient=coefficient, kept=kept)


def stroke(period: int, *, seed: int, pick: float, softness_hz: float) -> FloatArray:
    """One period (period,) of noise as the pick leaves it on the string, without a constant part.

    `pick` is the place of the pick as a share of the string: harmonics with a node there are missing.
    `softness_hz` [Hz] is the corner of the low-pass: a soft stroke is a dull one.
    """
    noise = np.random.default_rng(seed).uniform(-1.0, 1.0, period)
    bins = np.fft.rfft(noise)
    bins[0] = 0.0
    harmonic = np.arange(len(bins))
    # The comb 1 - z^(-pick period) and a first-order low-pass, both once around the period.
    comb = 1 - np.exp(-2j * np.pi * harmonic * pick)
    dull = 1 / (1 + 1j * harmonic * STRING_RATE_HZ / (period * softness_hz))
    bins *= comb * dull
    bins[harmonic * STRING_RATE_HZ / period > 0.45 * STRING_RATE_HZ] = 0.0
    return np.fft.irfft(bins, period)


def plucked(loop: Loop, start: FloatArray, frames: int) -> FloatArray:
    """The string's sound (frames,) at `STRING_RATE_HZ` from one period of excitation."""
    from pedalwright.sound.sources.string_loop import turn_around

    sound = np.zeros(frames)
    turn_around(sound, start, loop.period, loop.share, loop.coefficient, loop.kept)
    return sound
