"""Several delays fed with each other's sum: how many echoes, how dense, how even, and how long they ring.

Plain numbers in: delays in seconds, loop gains as arrays. An echo arrives after every sum of whole multiples
of the delays. Sums that fall together are heard as one, so delays in simple ratios waste echoes.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations, product
from math import factorial, log, prod

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
ComplexArray = NDArray[np.complex128]
EARLY_S = 0.5
"""the ear counts single echoes in about this first stretch (house rule)"""
APART_S = 2e-3
"""closer together, two echoes are heard as one (house rule)"""
CLOCK_SPREAD = 0.05
"""how far a chip's delay may be off: several per cent (common practice, no source)"""
MODES_PER_HZ_AND_SECOND = 0.15
"""modes per hertz wanted for each second of RT60: J. O. Smith, Physical Audio Signal Processing, Mode Density
Requirement"""
OCTAVES_HZ = (125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0)
MOST_ARRIVALS = 200_000
SHORTLIST = 40


def echo_count(delays_s: Sequence[float], time_s: float) -> float:
    """How many echoes have arrived by a time, the direct sound counted as one, nearly [-].

    N = (t + sum(T)/2)^n / (n! prod(T))

    delays_s: T, of each of the n chips [s]
    time_s: t [s]
    Valid: t above about four times the longest delay (within 3 %); all chips feed all chips.
    Source: derived here (volume of the simplex, moved by half a cell); checked by counting.

    >>> print(f"{echo_count((0.047, 0.061, 0.083), 1.0):.0f}")
    921
    """
    count = len(delays_s)
    return float((time_s + sum(delays_s) / 2) ** count / (factorial(count) * prod(delays_s)))


def echo_density(delays_s: Sequence[float], time_s: float) -> float:
    """Echoes a second at a time: the slope of `echo_count` [1/s]."""
    return echo_count(delays_s, time_s) * len(delays_s) / (time_s + sum(delays_s) / 2)


def arrivals_s(delays_s: Sequence[float], until_s: float) -> FloatArray:
    """Every sum of whole multiples of the delays up to a time, the direct sound (0) first, in order [s].

    Equal sums reached in different ways are all there. Raises ValueError when there would be too many.
    """
    if echo_count(delays_s, until_s) > MOST_ARRIVALS:
        raise ValueError(f"more than {MOST_ARRIVALS} echoes; ask for a shorter time")
    sums = np.zeros(1)
    for delay in delays_s:
        # A hair more than the time, so that a sum which is the time itself counts.
        multiples = delay * np.arange(int(until_s / delay * (1 + 1e-12)) + 1)
        sums = (sums[:, None] + multiples).ravel()
        sums = sums[sums <= until_s * (1 + 1e-12)]
    return np.asarray(np.sort(sums))


def separate_arrivals(delays_s: Sequence[float], until_s: float = EARLY_S, apart_s: float = APART_S) -> int:
    """How many echoes are heard one by one: each more than `apart_s` after the one counted before it."""
    count, last = 0, -np.inf
    for time in arrivals_s(delays_s, until_s).tolist():
        if time - last > apart_s:
            count, last = count + 1, time
    return count


def least_separate_arrivals(delays_s: Sequence[float], spread: float = CLOCK_SPREAD) -> int:
    """The same for the worst chips: every delay anywhere within its spread, tried at five places each."""
    factors = np.linspace(1 - spread, 1 + spread, 5)
    # All delays off by the same factor only stretch time, so the first one need not move.
    cases = product(factors, repeat=len(delays_s) - 1)
    return min(
        separate_arrivals([delays_s[0], *(t * f for t, f in zip(delays_s[1:], case, strict=True))])
        for case in cases
    )


def mode_density(delays_s: Sequence[float]) -> float:
    """Resonances per hertz: the sum of the delays [1/Hz]. Source: J. O. Smith, as above."""
    return float(sum(delays_s))


def needed_mode_density(rt60_s: float) -> float:
    """Resonances per hertz that a reverberation of this length wants [1/Hz]."""
    return MODES_PER_HZ_AND_SECOND * rt60_s


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """Time resistors for several chips: the delays they give, and the echoes heard one by one in the first
    half second, with chips as they should be and with the worst within their spread.
    """

    ohms: tuple[float, ...]
    delays_s: tuple[float, ...]
    separate: int
    least_separate: int


def advise(
    delays_s: Sequence[float],
    resistors: Iterable[float],
    delay_of: Callable[[float], float],
    *,
    mean_within: float = 0.05,
    stretch: float = 1.35,
) -> tuple[Advice, ...]:
    """Resistors that spread the echoes better than the delays given, the best for the worst chips first.

    delays_s: the delays as they are [s]
    resistors: values to choose from [ohm]
    delay_of: the delay [s] a resistor [ohm] gives
    mean_within: how far the mean delay may move [-]
    stretch: how far from the mean any delay may be, as a ratio [-]

    Simple ratios such as 2:3:4 are what is avoided; whole-number tricks mean nothing to clocks that are off
    by several per cent, so the worst case over their spread decides.
    """
    mean = sum(delays_s) / len(delays_s)
    near = {ohms: delay_of(ohms) for ohms in resistors}
    near = {ohms: t for ohms, t in near.items() if mean / stretch <= t <= mean * stretch}
    sets = [
        chosen
        for chosen in combinations(sorted(near), len(delays_s))
        if abs(sum(near[ohms] for ohms in chosen) / len(chosen) / mean - 1) <= mean_within
    ]
    scored = sorted(sets, key=lambda chosen: -separate_arrivals([near[ohms] for ohms in chosen]))
    found = [_advice(chosen, near) for chosen in scored[:SHORTLIST]]
    return tuple(sorted(found, key=lambda one: (-one.least_separate, -one.separate, one.ohms)))


def _advice(chosen: tuple[float, ...], delays: dict[float, float]) -> Advice:
    found = tuple(delays[ohms] for ohms in chosen)
    return Advice(
        ohms=chosen,
        delays_s=found,
        separate=separate_arrivals(found),
        least_separate=least_separate_arrivals(found),
    )


def rt60_per_octave_s(
    frequency_hz: FloatArray, loop: ComplexArray, delays_s: Sequence[float]
) -> dict[float, float]:
    """Time in which the sound falls by 60 dB, for each octave band by its centre [s]; infinite where it does
    not fall.

    frequency_hz: evenly spaced by ratio, shape (frequencies,) [Hz]
    loop: what each coder gets from each decoder, shape (frequencies, chips, chips) [-]
    delays_s: of each chip [s]

    The slowest decay that delays of about these lengths can have: all ways round in step. Exact for one chip,
    and for chips that are all fed alike. Levels are averaged over the octave in decibels.
    """
    sizes = np.abs(loop)
    found = {}
    for centre in OCTAVES_HZ:
        inside = (frequency_hz >= centre / 2**0.5) & (frequency_hz < centre * 2**0.5)
        if inside.any():
            found[centre] = slowest_rt60_s(np.exp(np.log(sizes[inside] + 1e-300).mean(axis=0)), delays_s)
    return found


def slowest_rt60_s(sizes: FloatArray, delays_s: Sequence[float]) -> float:
    """RT60 of gains `sizes` (chips, chips) round the delays, all in step [s]: the root of
    rho(|A| diag(exp(sigma T))) = 1.

    For one chip -60 T/(20 log10 |A|).
    """
    delays = np.asarray(delays_s, dtype=float)

    def growth(sigma: float) -> float:
        return float(np.abs(np.linalg.eigvals(sizes * np.exp(sigma * delays)[None, :])).max())

    if growth(0.0) >= 1.0:
        return float("inf")
    low, high = 0.0, 1.0
    while growth(high) < 1.0:
        low, high = high, 2 * high
        if high > 1e6:
            return 0.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if growth(middle) < 1.0 else (low, middle)
    return 3 * log(10) / (0.5 * (low + high))
