"""A loop of delays simulated in time, knowing nothing of the program under test.

Each way from decoder to coder is an impulse response, made from its frequency response by an inverse Fourier
transform; sound goes round in blocks no longer than the shortest delay.
"""

from collections.abc import Callable

import numpy as np
from scipy.signal import oaconvolve

RATE_HZ = 48_000
TAIL = 1 << 15


def impulse_responses(ways: Callable[[np.ndarray], np.ndarray], chips: int) -> np.ndarray:
    """Impulse responses (chips, chips, TAIL) of A at frequencies [Hz]; nothing passes at none."""
    grid = np.fft.rfftfreq(TAIL, 1 / RATE_HZ)
    spectrum = np.zeros((len(grid), chips, chips), dtype=complex)
    spectrum[1:] = ways(grid[1:])
    # A soft end below half the rate, so that nothing rings there.
    spectrum *= (0.5 * (1 + np.cos(np.pi * np.clip((grid - 18e3) / 5e3, 0, 1))))[:, None, None]
    # What is heard before its cause is the wrap-around of slow coupling: half the length is kept for it.
    return np.moveaxis(np.fft.irfft(spectrum, axis=0), 0, 2)


def levels(responses: np.ndarray, delays_s: np.ndarray, seconds: float) -> np.ndarray:
    """Root mean square of everything that enters the delays, second by second, after one click."""
    chips, _, tail = responses.shape
    late = np.round(delays_s * RATE_HZ).astype(int)
    block, total = int(late.min()), int(seconds * RATE_HZ)
    entering = np.zeros((chips, total + late.max() + tail + block))
    entering[:, late.max() : late.max() + 64] = np.random.default_rng(5).standard_normal((chips, 64))
    for at in range(int(late.max()), total, block):
        leaving = np.stack([entering[one, at - late[one] : at - late[one] + block] for one in range(chips)])
        for to in range(chips):
            for out in range(chips):
                piece = oaconvolve(leaving[out], responses[to, out])
                entering[to, at : at + len(piece)] += piece
    whole = entering[:, : total - total % RATE_HZ].reshape(chips, -1, RATE_HZ)
    return np.asarray(np.sqrt((whole**2).mean(axis=(0, 2))))


def slope_db_per_s(responses: np.ndarray, delays_s: np.ndarray, seconds: float = 24.0) -> float:
    """How fast the level rises or falls in the last third, fitted [dB/s]."""
    level_db = 20 * np.log10(levels(responses, delays_s, seconds))
    late = level_db[-int(seconds / 3) :]
    return float(np.polyfit(np.arange(len(late)), late, 1)[0])
