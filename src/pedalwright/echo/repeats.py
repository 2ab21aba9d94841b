"""Repeat by repeat: when each arrives, how loud, with what tone and polarity; and how long it all rings on.

With one chip the n-th repeat has the spectrum C A^(n-1) B. With several, sounds that went through the same
chips the same number of times arrive together, whatever the order; they are added up as they arrive.
"""

from dataclasses import dataclass, replace
from heapq import heappop, heappush
from itertools import islice

import numpy as np

from pedalwright.echo.loop import MIDDLE_HZ, Loop
from pedalwright.solve.arrays import ComplexArray, FloatArray
from pedalwright.solve.corners import Corners, find_corners

MOST_EXPONENT = 600.0
SILENCE_DB = 60.0
FAINT, DEAFENING = 1e-9, 1e100
MOST_ARRIVALS = 20_000


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Repeat:
    """One arrival at the output jack, for one volt at the input jack.

    `passes` (N,) counts how often it went through each chip. `time_s` is the sum of the chips' delays;
    `filters_s` what the filters add at the reference frequency. `polarity` is +1 when it has the sign of the
    sound at the input jack, -1 when not. `against_dry_db` is None without dry sound.
    """

    number: int
    passes: tuple[int, ...]
    time_s: float
    filters_s: float
    spectrum: ComplexArray
    level_db: float
    against_dry_db: float | None
    corners: Corners | None
    polarity: int


def repeats(loop: Loop, count: int, reference_hz: float = MIDDLE_HZ) -> tuple[Repeat, ...]:
    """The first `count` arrivals in the order of time; arrivals that nothing is heard of are left out."""
    found: list[Repeat] = []
    for passes, spectrum in _Arrivals(loop):
        if np.abs(spectrum).max(initial=0.0) > FAINT:
            found.append(_repeat(loop, len(found) + 1, passes, spectrum, reference_hz))
        if len(found) == count:
            break
    return tuple(found)


def levels_at(loop: Loop, count: int, reference_hz: float = MIDDLE_HZ) -> list[tuple[float, float]]:
    """Time [s] and level [dB] of the first `count` arrivals at one frequency alone."""
    one = slice(loop.at(reference_hz), loop.at(reference_hz) + 1)
    there = replace(
        loop,
        frequency_hz=loop.frequency_hz[one],
        a=loop.a[one],
        b=loop.b[one],
        c=loop.c[one],
        h0=loop.h0[one],
    )
    found = ((passes, abs(spectrum[0])) for passes, spectrum in _Arrivals(there))
    heard = ((float(np.dot(passes, loop.delays_s)), _db(level)) for passes, level in found if level > FAINT)
    return list(islice(heard, count))


class _Arrivals:
    """Arrivals by rising time. For each set of passes the sound leaving each decoder is kept until used."""

    def __init__(self, loop: Loop) -> None:
        self.loop = loop
        size = len(loop.chips)
        self.steps = np.eye(size, dtype=int)
        self.leaving: dict[tuple[int, ...], ComplexArray] = {}
        self.pending: list[tuple[float, tuple[int, ...]]] = []
        for chip in range(size):
            out = np.zeros_like(loop.b)
            out[:, chip] = loop.b[:, chip]
            self._add(tuple(self.steps[chip].tolist()), out)
        self.given = 0

    def __iter__(self) -> "_Arrivals":
        return self

    def __next__(self) -> tuple[tuple[int, ...], ComplexArray]:
        if not self.pending or self.given >= MOST_ARRIVALS:
            raise StopIteration
        self.given += 1
        _, passes = heappop(self.pending)
        leaving = self.leaving.pop(passes)
        entering = np.matmul(self.loop.a, leaving[..., None])[..., 0]
        loudest = np.abs(entering).max(initial=0.0)
        if loudest > DEAFENING:
            # A loop that grows is followed no further than numbers go.
            entering = entering * (DEAFENING / loudest)
        for chip in range(len(passes)):
            if np.abs(entering[:, chip]).max(initial=0.0) > FAINT**2:
                out = np.zeros_like(entering)
                out[:, chip] = entering[:, chip]
                self._add(tuple((np.array(passes) + self.steps[chip]).tolist()), out)
        return passes, np.asarray((self.loop.c * leaving).sum(axis=1))

    def _add(self, passes: tuple[int, ...], leaving: ComplexArray) -> None:
        if passes in self.leaving:
            self.leaving[passes] = self.leaving[passes] + leaving
            return
        self.leaving[passes] = leaving
        heappush(self.pending, (float(np.dot(passes, self.loop.delays_s)), passes))


def _repeat(
    loop: Loop, number: int, passes: tuple[int, ...], spectrum: ComplexArray, reference_hz: float
) -> Repeat:
    place = loop.at(reference_hz)
    late = group_delay_s(loop.frequency_hz, spectrum)
    level, dry = abs(spectrum[place]), abs(loop.h0[place])
    return Repeat(
        number=number,
        passes=passes,
        time_s=float(np.dot(passes, loop.delays_s)),
        filters_s=float(late[place]),
        spectrum=spectrum,
        level_db=_db(level),
        against_dry_db=_db(level / dry) if dry > FAINT else None,
        corners=find_corners(loop.frequency_hz, spectrum, reference_hz),
        polarity=polarity(loop.frequency_hz, spectrum, place),
    )


def _db(ratio: float) -> float:
    return float(20 * np.log10(max(ratio, 1e-300)))


def polarity(frequency_hz: FloatArray, gain: ComplexArray, place: int) -> int:
    """+1 or -1: the sign of a response at one place of the grid, less what its delay in the filters turns."""
    turned = 2 * np.pi * frequency_hz[place] * group_delay_s(frequency_hz, gain)[place]
    return 1 if (gain[place] * np.exp(1j * turned)).real >= 0 else -1


def group_delay_s(frequency_hz: FloatArray, gain: ComplexArray) -> FloatArray:
    """-d phase/d omega (frequencies,) [s], by differences on the grid."""
    phase = np.unwrap(np.angle(gain))
    return np.asarray(-np.gradient(phase, 2 * np.pi * frequency_hz))


def worst_gain(loop: Loop) -> FloatArray:
    """The largest ratio from one time round to the next (frequencies,): |A| of one chip; of several, the
    spectral radius of |A|, which no phases can exceed.
    """
    return perron(np.abs(loop.a))


def perron(sizes: FloatArray) -> FloatArray:
    """The spectral radius of matrices (..., N, N) without negative entries."""
    if sizes.shape[-1] == 1:
        return np.asarray(sizes[..., 0, 0])
    return np.asarray(np.abs(np.linalg.eigvals(sizes)).max(axis=-1))


def decay_s(loop: Loop) -> FloatArray:
    """Time to fall by 60 dB (frequencies,) [s]; infinite where the loop would not decay at all.

    One chip: -60 (T + group delay)/(20 log10 |A|), exact. Several: the slowest decay that any phases could
    make, the rate r with spectral radius of diag(exp(r T)) |A| equal to one.
    """
    sizes = np.abs(loop.a)
    if len(loop.chips) == 1:
        size = sizes[:, 0, 0]
        once = loop.delays_s[0] + group_delay_s(loop.frequency_hz, loop.a[:, 0, 0])
        with np.errstate(divide="ignore"):
            fall_db = -20 * np.log10(np.maximum(size, 1e-300))
        return np.asarray(np.where(fall_db > 0, SILENCE_DB * once / np.maximum(fall_db, 1e-12), np.inf))
    return _slowest_decay_s(sizes, loop.delays_s)


def _slowest_decay_s(sizes: FloatArray, delays_s: FloatArray) -> FloatArray:
    """By bisection of the rate, all frequencies at once."""
    low, high = np.zeros(len(sizes)), np.full(len(sizes), 60.0 / float(delays_s.min()))
    for _ in range(60):
        rate = 0.5 * (low + high)
        # A delay hundreds of times the shortest would overflow; it is over one long before.
        growth = np.exp(np.minimum(rate[:, None] * delays_s, MOST_EXPONENT))
        over = perron(growth[:, :, None] * sizes) > 1.0
        low, high = np.where(over, low, rate), np.where(over, rate, high)
    grows = perron(sizes) >= 1.0
    silence = SILENCE_DB / 20 * np.log(10)
    return np.asarray(np.where(grows, np.inf, silence / np.maximum(0.5 * (low + high), 1e-12)))


def buildup_db(loop: Loop) -> FloatArray:
    """By how much the loop raises steady noise that enters it (frequencies,) [dB], averaged over phases.

    One chip: -10 log10(1 - |A|^2). Several: the largest entry of (1 - |A|^2)^-1 summed over what enters, with
    |A|^2 entry by entry, for phases without relation. Infinite where it would grow for ever.
    """
    power = np.abs(loop.a) ** 2
    stable = perron(power) < 1.0
    matrix = np.eye(len(loop.chips)) - np.where(stable[:, None, None], power, 0.0)
    total = np.linalg.solve(matrix, np.ones((*matrix.shape[:-1], 1)))[..., 0].max(axis=-1)
    return np.asarray(np.where(stable, 10 * np.log10(total), np.inf))
