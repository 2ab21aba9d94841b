"""Where arrivals begin and end in the answer to a click, and how strong each is."""

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.measure.spectrum import analytic_signal, fast_frames

_RISES_DB = 6.0
_APART_DB = 20.0
_ABOVE_FLOOR_DB = 14.0
"""the highest peaks of noise stand so far above its median"""
_FAINTEST = 1e-4


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate:
    """One arrival: its frames first to last (excluded), and how far the dips beside it go down."""

    first: int
    last: int
    peak: int
    apart: bool


def envelope(heard_v: FloatArray, rate_hz: float, band_hz: tuple[float, float]) -> FloatArray:
    """Energy (frames,) [V^2] of what lies within a band: its analytic signal squared, not delayed.

    A resting voltage is taken off, lest it begin and end with a thump.
    """
    return np.asarray(np.abs(analytic_signal(heard_v - np.median(heard_v), rate_hz, band_hz)) ** 2)


def gates(energy: FloatArray, threshold_db: float, least_frames: int) -> tuple[Gate, ...]:
    """Peaks above a threshold against the highest (and clear of the noise), each between its dips."""
    from scipy.signal import find_peaks

    level_db = 10 * np.log10(energy / energy.max() + 1e-20)
    least_db = max(threshold_db, floor_db(energy) + _ABOVE_FLOOR_DB)
    padded = np.concatenate(([-200.0], level_db, [-200.0]))
    peaks = find_peaks(padded, height=least_db, distance=max(1, least_frames), prominence=_RISES_DB)[0] - 1
    dips = [_dip(level_db, left, right) for left, right in pairwise(peaks.tolist())]
    edges = [0, *dips, _end(level_db, peaks.tolist())] if len(peaks) else []
    return tuple(
        Gate(first=first, last=last, peak=int(peak), apart=_apart(level_db, first, int(peak), last))
        for first, last, peak in zip(edges, edges[1:], peaks, strict=False)
    )


def floor_db(energy: FloatArray) -> float:
    """What lies between the arrivals, against the highest of them [dB]."""
    return float(10 * np.log10(np.median(energy) / energy.max() + 1e-20))


def middle_frame(energy: FloatArray, gate: Gate, smooth_frames: int) -> float:
    """Middle of the energy of an arrival, in frames, from where it first to where it last stands out."""
    first, last = _standing_out(energy, gate, smooth_frames)
    return float(energy[first:last] @ np.arange(first, last) / energy[first:last].sum())


def narrowed(energy: FloatArray, gate: Gate, smooth_frames: int, margin: int) -> Gate:
    """The gate without the long silence, or noise, before and behind its arrival."""
    first, last = _standing_out(energy, gate, smooth_frames)
    return replace(gate, first=max(gate.first, first - margin), last=min(gate.last, last + margin))


def _standing_out(energy: FloatArray, gate: Gate, smooth_frames: int) -> tuple[int, int]:
    """Frames of an arrival that stand out of the noise and are within 40 dB of its peak, holes shorter than
    `smooth_frames` aside.
    """
    part, peak = energy[gate.first : gate.last], gate.peak - gate.first
    least = max(_FAINTEST * energy[gate.peak], 4 * float(np.median(energy)))
    width = min(smooth_frames, len(part))
    low = np.flatnonzero(np.convolve(part, np.full(width, 1 / width), "same") < least)
    first = gate.first + int(low[low < peak].max(initial=-1)) + 1
    last = gate.first + int(low[low > peak].min(initial=len(part)))
    return (first, last) if last > first else (gate.peak, gate.peak + 1)


def density(part_v: FloatArray, rate_hz: float) -> tuple[FloatArray, FloatArray]:
    """Frequencies [Hz], at most 1 Hz apart, and energy at each [V^2]; one frame of one volt gives one."""
    frames = fast_frames(max(len(part_v), round(rate_hz)))
    hz: FloatArray = np.fft.rfftfreq(frames, 1 / rate_hz).astype(np.float64)
    return hz, np.abs(np.fft.rfft(part_v, frames)) ** 2


def quiet_part(heard_v: FloatArray, energy: FloatArray, frames: int) -> FloatArray:
    """The quietest stretch of so many frames in the last quarter."""
    start = len(energy) * 3 // 4
    summed = np.concatenate(([0.0], np.cumsum(energy[start:])))
    at = start + int(np.argmin(summed[frames:] - summed[:-frames]))
    return heard_v[at : at + frames]


def _dip(level_db: FloatArray, left: int, right: int) -> int:
    return left + int(np.argmin(level_db[left:right]))


def _end(level_db: FloatArray, peaks: list[int]) -> int:
    """The last arrival ends where the next would begin to rise, at one more spacing; a single one with the
    record.
    """
    if len(peaks) < 2:
        return len(level_db)
    gap = peaks[-1] - peaks[-2]
    middle, last = peaks[-1] + gap // 2, min(len(level_db), peaks[-1] + gap)
    return _dip(level_db, middle, last) if last > middle else len(level_db)


def _apart(level_db: FloatArray, first: int, peak: int, last: int) -> bool:
    dips_db = max(level_db[first], level_db[min(last, len(level_db) - 1)])
    return bool(dips_db <= level_db[peak] - _APART_DB)
