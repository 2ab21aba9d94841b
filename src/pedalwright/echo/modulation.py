"""A delay whose clock moves: delay over time, pitch, and what it sounds like.

The echo chip is a memory of a fixed number of cells, stepped on by its clock. What comes out now went in
when the clock had that many steps less behind it, so the delay is given implicitly: the integral of the
clock's rate over the delay is constant. The pitch is the ratio of the clock's rate now to its rate then.
Taking the delay the present clock would give (memory over rate) instead is right for slow movement only.

Everything here is plain numbers: a waveform is the clock's relative deviation w, so that the clock runs at
1 + w of its resting rate. The clock follows the current out of the time pin, so w is also that current's
relative deviation.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pedalwright.formulas.echo import mixed_notch_db, mixed_notches_hz

FloatArray = NDArray[np.float64]
SAMPLES = 4096
"""points in one period: the trapezoid rule is then good to about one part in a million"""
FLANGER_S, CHORUS_S, DOUBLING_S = 10e-3, 50e-3, 100e-3
"""below these the ear speaks of a flanger, a chorus, a doubled voice (common practice, no source)"""
CHIP_LEAST_S = 31.3e-3
"""the shortest delay in the maker's table of the echo chip"""


class ClockStops(ValueError):
    """The clock stands still or runs backwards somewhere: there is no delay then."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Moved:
    """A moved delay, point for point: `time_s`, `delay_s`, `pitch_ratio`, each (points,)."""

    time_s: FloatArray
    delay_s: FloatArray
    pitch_ratio: FloatArray

    @property
    def cents(self) -> FloatArray:
        """Pitch deviation in cents (points,)."""
        return np.asarray(1200.0 * np.log2(self.pitch_ratio))

    @property
    def up_cents(self) -> float:
        """The highest pitch [cent]."""
        return float(self.cents.max())

    @property
    def down_cents(self) -> float:
        """The lowest pitch [cent]."""
        return float(self.cents.min())

    @property
    def swing_s(self) -> float:
        """Half the way from the shortest to the longest delay [s]."""
        return float((self.delay_s.max() - self.delay_s.min()) / 2)


def sine(points: int = SAMPLES) -> FloatArray:
    """One period of a sine of height one (points,)."""
    return np.sin(2 * np.pi * np.arange(points) / points)


def triangle(points: int = SAMPLES) -> FloatArray:
    """One period of a triangle of height one (points,), beginning upward through zero."""
    turn = np.arange(points) / points
    return np.asarray(4 * np.abs((turn + 0.75) % 1.0 - 0.5) - 1.0)


def through(shape: FloatArray, transfer: NDArray[np.complex128]) -> FloatArray:
    """One period of a waveform after a linear network.

    `transfer` (harmonics,) holds the network's gain at 1, 2, 3 ... times the waveform's rate; the mean and
    the harmonics beyond are left out.
    """
    spectrum = np.fft.rfft(shape)
    passed = np.zeros_like(spectrum)
    count = min(len(transfer), len(spectrum) - 1)
    passed[1 : count + 1] = spectrum[1 : count + 1] * transfer[:count]
    return np.asarray(np.fft.irfft(passed, len(shape)))


def moved_periodically(deviation: FloatArray, *, rate_hz: float, delay_s: float) -> Moved:
    """The delay over one period of a waveform that has gone on for ever.

    deviation: the clock's relative deviation w over one period, evenly spaced, shape (points,) [-]
    rate_hz: how often the waveform repeats [Hz]
    delay_s: the delay with the clock at its resting rate [s]

    Raises ClockStops where 1 + w is not above zero.
    """
    period_s = 1.0 / rate_hz
    clock = _running(deviation)
    around = np.concatenate([clock, clock[:1]])
    time_s = np.linspace(0.0, period_s, len(around))
    steps = _integral(time_s, around)
    whole = np.floor((steps - delay_s) / steps[-1])
    then = _when(steps - delay_s - whole * steps[-1], time_s, steps, around) + whole * period_s
    clock_then = np.interp(then - np.floor(then / period_s) * period_s, time_s, around)
    kept = slice(0, len(clock))
    return Moved(
        time_s=time_s[kept],
        delay_s=(time_s - then)[kept],
        pitch_ratio=(around / clock_then)[kept],
    )


def moved_once(time_s: FloatArray, deviation: FloatArray, *, delay_s: float) -> Moved:
    """The delay over time for any waveform, an envelope for instance; before its start it stood at its first
    value.

    time_s: when, rising, shape (points,) [s]
    deviation: the clock's relative deviation at these times, shape (points,) [-]
    delay_s: the delay with the clock at its resting rate [s]

    Raises ClockStops where 1 + w is not above zero.
    """
    clock = _running(deviation)
    early_s = time_s[0] - delay_s / clock[0] - (time_s[-1] - time_s[0])
    times, rates = np.concatenate([[early_s], time_s]), np.concatenate([clock[:1], clock])
    steps = _integral(times, rates)
    then = _when(steps[1:] - delay_s, times, steps, rates)
    return Moved(time_s=time_s, delay_s=time_s - then, pitch_ratio=clock / np.interp(then, times, rates))


def _running(deviation: FloatArray) -> FloatArray:
    clock = 1.0 + np.asarray(deviation, dtype=float)
    if not np.all(clock > 0):
        raise ClockStops("the clock would stop: the waveform takes away all of the time pin's current")
    return clock


def _integral(time_s: FloatArray, clock: FloatArray) -> FloatArray:
    """Steps of the clock since the first point, by the trapezoid rule."""
    pieces = 0.5 * (clock[1:] + clock[:-1]) * np.diff(time_s)
    return np.concatenate([[0.0], np.cumsum(pieces)])


def _when(steps: FloatArray, time_s: FloatArray, all_steps: FloatArray, clock: FloatArray) -> FloatArray:
    """The times at which the clock had made these many steps: exact for a clock straight between points."""
    place = np.clip(np.searchsorted(all_steps, steps, side="right") - 1, 0, len(time_s) - 2)
    span = time_s[place + 1] - time_s[place]
    slope = (clock[place + 1] - clock[place]) / span
    left = steps - all_steps[place]
    root = np.sqrt(np.maximum(clock[place] ** 2 + 2 * slope * left, 0.0))
    return np.asarray(time_s[place] + 2 * left / (clock[place] + root))


def sine_pitch_deviation(deviation: float, *, rate_hz: float, delay_s: float) -> float:
    """Largest relative pitch deviation for a clock moved by a small sine [-].

    d = 2 m |sin(pi f tau)|

    deviation: m, the clock's largest relative deviation [-]
    rate_hz: f, of the sine [Hz]
    delay_s: tau, at rest [s]
    Valid: m small; the pitch stands still when the sine's period is the delay.
    Source: from memory (difference of two sines a delay apart).

    >>> print(f"{sine_pitch_deviation(0.02, rate_hz=5.0, delay_s=0.1):.4f}")
    0.0400
    """
    return float(2 * deviation * abs(np.sin(np.pi * rate_hz * delay_s)))


def triangle_pitch_deviation(deviation: float, *, rate_hz: float, delay_s: float) -> float:
    """Largest relative pitch deviation for a clock moved by a small triangle [-].

    d = 4 m f t, t the delay folded into half a period

    deviation: m, the clock's largest relative deviation [-]
    rate_hz: f, of the triangle [Hz]
    delay_s: tau, at rest [s]
    Valid: m small.
    Source: from memory (slope of the triangle times the delay).

    >>> print(f"{triangle_pitch_deviation(0.02, rate_hz=1.0, delay_s=0.05):.4f}")
    0.0040
    """
    turns = rate_hz * delay_s % 1.0
    return 4 * deviation * min(turns, 1.0 - turns)


@dataclass(frozen=True, slots=True, kw_only=True)
class Character:
    """What a moved delay sounds like: one word for it, and the notches dry and delayed sound make together,
    at the shortest delay and at the longest, with their depth.

    `shortest_notches_hz` and `longest_notches_hz` are empty without dry sound, as is `notch_db`.
    """

    word: str
    shortest_s: float
    longest_s: float
    shortest_notches_hz: tuple[float, ...]
    longest_notches_hz: tuple[float, ...]
    notch_db: float | None
    says: str


def character(moved: Moved, *, wet: float, dry: float, inverted: bool = False, notches: int = 3) -> Character:
    """What a moved delay is, beside so much dry sound.

    wet, dry: their levels at the output, as ratios [-]
    inverted: the delayed sound has the opposite sign [-]
    notches: how many of them are told [-]

    Flanging wants less than 10 ms, chorus up to about 50 ms, a doubled voice up to about 100 ms (common
    practice, no source). The echo chip's least delay is 31 ms: it cannot flange.
    """
    shortest, longest = float(moved.delay_s.min()), float(moved.delay_s.max())
    word, says = _word(shortest, has_dry=dry > 0)
    level = min(wet, dry) / max(wet, dry) if dry > 0 and wet > 0 else None
    ends = (shortest, longest) if level is not None else ()
    found = [mixed_notches_hz(end, notches, inverted=inverted) for end in ends] or [(), ()]
    return Character(
        word=word,
        shortest_s=shortest,
        longest_s=longest,
        shortest_notches_hz=found[0],
        longest_notches_hz=found[1],
        notch_db=None if level is None else mixed_notch_db(level) if level < 1 else float("-inf"),
        says=says,
    )


def _word(shortest_s: float, *, has_dry: bool) -> tuple[str, str]:
    if not has_dry:
        late = (
            " It answers late: more than 30 ms behind the hand." if shortest_s > CHIP_LEAST_S - 1e-3 else ""
        )
        return "vibrato", f"Without dry sound the pitch itself is heard to move.{late}"
    if shortest_s < FLANGER_S:
        return "flanger", "Few notches, wide apart: they are heard to sweep."
    if shortest_s < CHORUS_S:
        return (
            "chorus",
            "Notches too close to be heard singly, and a second voice that is a little off pitch.",
        )
    if shortest_s < DOUBLING_S:
        return "doubling", "A second voice, late enough to be noticed, with a pitch of its own."
    return "moving echo", "Echoes whose pitch wanders."


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """Whether a chip can follow a waveform: `stalls` where the current out of its time pin ends or turns
    round, `held` where less than its shortest delay is asked for, `at_limit` the share of the period that is
    so.
    """

    stalls: bool
    held: bool
    at_limit: float


def reach(wanted_delay_s: FloatArray, *, least_s: float = CHIP_LEAST_S) -> Reach:
    """Whether a chip can follow the delays its time pin asks for at each moment (points,) [s]; not a number,
    an infinite or negative one means that the pin draws no current.
    """
    stopped = ~(np.isfinite(wanted_delay_s) & (wanted_delay_s > 0))
    low = ~stopped & (wanted_delay_s < least_s)
    return Reach(stalls=bool(stopped.any()), held=bool(low.any()), at_limit=float((stopped | low).mean()))
