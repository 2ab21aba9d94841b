"""A signal that a circuit makes by itself: frequency, size, start-up, and whether it has settled."""

from dataclasses import dataclass, replace

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.measure.signals import obstacles
from pedalwright.sound.measure.tone_fit import fit_tone

_LEAST_PERIODS = 4
_STEADY = 5e-3
_STARTED = 0.9
_DEAD_BAND = 0.2
_IRREGULAR = 0.1
_FRAMES_A_PERIOD = 64
_ORDERS = 5
_PERIODS = 32


@dataclass(frozen=True, slots=True, kw_only=True)
class Oscillation:
    """Figures of the second half of the record. `tone_peak_v` is the fundamental alone; `highest_v` and
    `lowest_v` are the turning voltages as they are, direct voltage included.

    `start_s` is when the swing first reaches nine tenths of its last; `wander` the standard deviation of a
    period against its mean. `settled` when frequency and swing of the last two quarters agree within 0.5 %.
    """

    rate_hz: float
    seconds: float
    frequency_hz: float | None = None
    tone_peak_v: float | None = None
    swing_v: float | None = None
    """from lowest to highest"""
    highest_v: float | None = None
    lowest_v: float | None = None
    start_s: float | None = None
    wander: float | None = None
    settled: bool = False
    remarks: tuple[str, ...] = ()


def oscillation(signal_v: FloatArray, rate_hz: float) -> Oscillation:
    """The oscillation of a self-running signal (frames,) [V], recorded from rest on."""
    unknown = Oscillation(rate_hz=rate_hz, seconds=len(signal_v) / rate_hz)
    late_v = signal_v[len(signal_v) // 2 :]
    troubles = obstacles(late_v)
    if troubles:
        return replace(unknown, remarks=troubles)
    swing_v = float(np.ptp(late_v))
    middle_v = float(late_v.min()) + swing_v / 2
    rises = rising_crossings(late_v, middle_v, _DEAD_BAND * swing_v / 2)
    if len(rises) < _LEAST_PERIODS:
        why = f"too slow or too short: {len(rises)} periods begin in the second half of the record"
        return replace(unknown, remarks=(why,))
    periods = np.diff(rises)
    wander = float(periods.std() / periods.mean())
    if wander > _IRREGULAR:
        return replace(unknown, wander=wander, remarks=("no regular oscillation",))
    turns_hz = rate_hz * np.polyfit(np.arange(len(rises)), rises, 1)[0] ** -1.0
    told = _changes(late_v, periods)
    return replace(
        unknown,
        frequency_hz=float(turns_hz),
        tone_peak_v=_tone_peak_v(late_v, rate_hz, float(turns_hz)),
        swing_v=swing_v,
        highest_v=float(late_v.max()),
        lowest_v=float(late_v.min()),
        start_s=_start_s(signal_v, rate_hz, middle_v, swing_v),
        wander=wander,
        settled=not told,
        remarks=told,
    )


def rising_crossings(signal_v: FloatArray, middle_v: float, dead_v: float) -> FloatArray:
    """Where a signal rises through its middle (crossings,), in frames and parts of frames; a crossing counts
    when the signal comes from below the dead band and goes on to above it.
    """
    side = np.where(signal_v > middle_v + dead_v, 1, np.where(signal_v < middle_v - dead_v, -1, 0))
    sure = np.flatnonzero(side)
    arrived = sure[1:][(side[sure[1:]] > 0) & (side[sure[:-1]] < 0)]
    through = np.flatnonzero((signal_v[:-1] < middle_v) & (signal_v[1:] >= middle_v))
    last = through[np.searchsorted(through, arrived) - 1]
    below, above = signal_v[last], signal_v[last + 1]
    return np.asarray(last + (middle_v - below) / (above - below))


def _changes(late_v: FloatArray, periods: FloatArray) -> tuple[str, ...]:
    """What still differs between the last two quarters of the record."""
    swings = [float(np.ptp(part)) for part in np.array_split(late_v, 2)]
    means = [float(part.mean()) for part in np.array_split(periods, 2)]
    told = ["dies away"] if swings[1] < swings[0] / 2 else []
    for what, (before, after) in (("swing", swings), ("period", means)):
        if abs(after / before - 1) > _STEADY:
            told.append(f"not settled: the {what} changes by {100 * (after / before - 1):+.1f} % at the end")
    return tuple(told)


def _start_s(signal_v: FloatArray, rate_hz: float, middle_v: float, swing_v: float) -> float | None:
    """Beginning of the first period that swings as far as nine tenths of the last."""
    rises = rising_crossings(signal_v, middle_v, _DEAD_BAND * swing_v / 2)
    edges = np.floor(rises).astype(np.int64)
    for first, last, at in zip(edges, edges[1:], rises, strict=False):
        if np.ptp(signal_v[first : last + 1]) >= _STARTED * swing_v:
            return float(at / rate_hz)
    return None


def _tone_peak_v(late_v: FloatArray, rate_hz: float, frequency_hz: float) -> float:
    """Peak of the fundamental. Slow signals are thinned out by means of neighbours, which lose a little."""
    each = max(1, int(rate_hz / frequency_hz / _FRAMES_A_PERIOD))
    late_v = late_v[-int(min(len(late_v), _PERIODS * rate_hz / frequency_hz)) :]
    usable = late_v[len(late_v) % each :].reshape(-1, each).mean(axis=1)
    found = fit_tone(usable, rate_hz / each, orders=_ORDERS, start_hz=frequency_hz)
    turn = frequency_hz / rate_hz
    kept = np.sinc(turn * each) / np.sinc(turn)
    return float(abs(found.peaks_v[0]) / kept)
