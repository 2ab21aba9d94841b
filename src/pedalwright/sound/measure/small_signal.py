"""Gain at chosen frequencies for signals so small that the circuit does not bend them.

Several tones at once on odd lines of the spectrum, so that sums and differences of two of them fall between;
phases that keep the peak low after M. R. Schroeder, Synthesis of low-peak-factor signals, IEEE Trans. Inf.
Theory IT-16, 85-89, 1970 (from memory). One frequency alone is a steady sine.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pedalwright.solve.arrays import ComplexArray, FloatArray, IndexArray
from pedalwright.sound.measure.coherent import odd_bin, tone_at, window_frames
from pedalwright.sound.measure.settling import Patience, Settled, settle
from pedalwright.sound.measure.signals import Fresh

_LEAST_S = 0.5
_PATIENCE = Patience(tolerance=1e-6)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SmallSignal:
    """Complex gain (frequencies,) at `frequency_hz`, where the tones came to lie, for a sound of half of
    `peak_v` in all. `doubt` is how far the gain may be off, relative: noise, what has still to settle, and a
    third of `level_change`, the relative change of the gain from half the level to the whole.
    """

    peak_v: float
    rate_hz: float
    window_s: float
    averages: int
    settled_after_s: float
    frequency_hz: FloatArray
    gain: ComplexArray
    doubt: FloatArray
    level_change: FloatArray
    remarks: tuple[str, ...] = ()


def small_signal(
    fresh: Fresh,
    rate_hz: float,
    frequencies_hz: Sequence[float],
    *,
    peak_v: float = 1e-3,
    averages: int = 2,
    latency_frames: float = 0.0,
    patience: Patience | None = None,
) -> SmallSignal:
    """Gain at frequencies moved to the nearest odd bins; tones that fall on one bin become one.

    The windows are played at `peak_v` and at half of it, each from rest. `latency_frames` is taken off.
    """
    usable = sorted(at_hz for at_hz in frequencies_hz if 0 < at_hz < rate_hz / 2)
    if not usable:
        return _unknown(peak_v, rate_hz, averages, 0.0, 0.0, ("no frequency below half the rate",))
    frames = window_frames(rate_hz, usable[0], _LEAST_S)
    bins = np.unique([odd_bin(at_hz, rate_hz, frames) for at_hz in usable]).astype(np.int64)
    bins = bins[bins < frames // 2]
    window_v = _several_tones(bins, frames, peak_v)
    patience = patience or _PATIENCE
    whole, half = (
        settle(fresh, rate_hz, window_v * part, bins, patience=patience, keep=averages) for part in (1.0, 0.5)
    )
    troubles = whole.remarks or half.remarks
    if troubles:
        return _unknown(peak_v, rate_hz, averages, frames / rate_hz, half.since_s, troubles)
    sent = np.fft.rfft(window_v)[bins]
    gains, gentle = (_gains(settled, bins, sent * part) for settled, part in ((whole, 1.0), (half, 0.5)))
    gain = gentle.mean(axis=0)
    size = np.maximum(np.abs(gain), 1e-300)
    change = np.abs(gains.mean(axis=0) - gain) / size
    spread = np.abs(gentle - gain).max(axis=0) / size
    to_come = (half.to_come or 0.0) * size.max() / size
    missing = len(frequencies_hz) - len(usable)
    return SmallSignal(
        peak_v=peak_v,
        rate_hz=rate_hz,
        window_s=frames / rate_hz,
        averages=averages,
        settled_after_s=half.since_s,
        frequency_hz=bins.astype(np.float64) * (rate_hz / frames),
        gain=gain * np.exp(2j * np.pi * bins / frames * latency_frames),
        doubt=spread + to_come + change / 3,
        level_change=change,
        remarks=(f"{missing} frequencies at or above half the rate left out",) if missing else (),
    )


def _several_tones(bins: IndexArray, frames: int, peak_v: float) -> FloatArray:
    count = len(bins)
    late = np.pi * np.arange(count) ** 2 / count
    tones = [tone_at(int(at), frames, float(turn)) for at, turn in zip(bins, late, strict=True)]
    sound = np.sum(tones, axis=0)
    return np.asarray(sound * (peak_v / np.abs(sound).max()))


def _gains(settled: Settled, bins: IndexArray, sent: ComplexArray) -> ComplexArray:
    """Gain (windows, frequencies)."""
    return np.asarray(np.fft.rfft(settled.windows_v, axis=1)[:, bins] / sent)


def _unknown(
    peak_v: float, rate_hz: float, averages: int, window_s: float, since_s: float, remarks: tuple[str, ...]
) -> SmallSignal:
    nothing = np.zeros(0)
    return SmallSignal(
        peak_v=peak_v,
        rate_hz=rate_hz,
        window_s=window_s,
        averages=averages,
        settled_after_s=since_s,
        frequency_hz=nothing,
        gain=nothing.astype(complex),
        doubt=nothing,
        level_change=nothing,
        remarks=remarks,
    )
