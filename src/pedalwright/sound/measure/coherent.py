"""Tones that fit a window a whole number of times, so that no window function is needed."""

import math

import numpy as np

from pedalwright.solve.arrays import FloatArray

LEAST_CYCLES = 16
MOST_FRAMES = 1 << 20


def window_frames(rate_hz: float, lowest_hz: float, least_s: float = 0.25) -> int:
    """Length of the window, a power of two with at least sixteen cycles of the lowest tone."""
    wanted = rate_hz * max(least_s, LEAST_CYCLES / lowest_hz)
    return int(min(1 << math.ceil(math.log2(wanted)), MOST_FRAMES))


def odd_bin(tone_hz: float, rate_hz: float, frames: int) -> int:
    """The odd bin nearest to a tone.

    An odd number of cycles in a power of two visits every frame at another phase, and overtones that fold
    back from above half the rate fall between the harmonics instead of on them.
    """
    return max(1, 2 * round((tone_hz * frames / rate_hz - 1) / 2) + 1)


def tone(peak_v: float, bin_number: int, frames: int) -> FloatArray:
    """One window (frames,) [V] of a sine that starts at zero."""
    return peak_v * tone_at(bin_number, frames)


def tone_at(bin_number: int, frames: int, phase_rad: float = 0.0) -> FloatArray:
    """One window (frames,) of a sine of size one."""
    # The phase is counted in whole frames: it stays exact however long the window.
    turn = (bin_number * np.arange(frames, dtype=np.int64)) % frames
    return np.asarray(np.sin(2 * np.pi * turn / frames + phase_rad))
