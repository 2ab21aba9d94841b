"""A swept impulse response cut into the linear piece, the pieces of the harmonics, and the noise between."""

import math
from dataclasses import dataclass

import numpy as np

from pedalwright.solve.arrays import ComplexArray, FloatArray
from pedalwright.sound.measure.spectrum import fast_frames
from pedalwright.sound.measure.sweep import Sweep

_BEFORE = 0.25
"""part of the way to the next earlier response that still belongs to this one"""
_LINEAR_BEFORE = 0.75
_NOISE = (0.7, 0.15)
"""where nothing but noise should be: between these parts of the way back to the second harmonic"""
_THIRD_OCTAVE = 2 ** (1 / 6)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Piece:
    """A faded cut (frames,) of an impulse response; its first frame is at `first` frames from the origin."""

    values: FloatArray
    first: float
    rate_hz: float

    @property
    def frames(self) -> int:
        """Length of the cut."""
        return len(self.values)

    @property
    def bins(self) -> int:
        """Frames of the Fourier transform that gives `at_bins`."""
        return fast_frames(len(self.values))

    @property
    def end_db(self) -> float:
        """Strength of the last tenth, before its fade, against the strongest tenth."""
        tenths = [float((part**2).sum()) for part in np.array_split(self.values, 20)]
        return 10 * math.log10(max(tenths[-2], 1e-300) / max(*tenths, 1e-300))

    def at_bins(self, hz: FloatArray) -> ComplexArray:
        """Response (frequencies,) at whole multiples of rate/bins."""
        at = np.rint(hz * self.bins / self.rate_hz).astype(np.int64)
        return np.asarray(np.fft.rfft(self.values, self.bins)[at] * self._origin(hz))

    def at(self, hz: FloatArray) -> ComplexArray:
        """Response (frequencies,) at any frequencies, one by one."""
        turn = -2j * np.pi / self.rate_hz * np.arange(self.frames)
        return np.array([self.values @ np.exp(turn * one) for one in hz]) * self._origin(hz)

    def _origin(self, hz: FloatArray) -> ComplexArray:
        return np.asarray(np.exp(-2j * np.pi * hz * self.first / self.rate_hz))


def linear_piece(swept: Sweep, impulse: FloatArray, tail_s: float) -> Piece:
    """From three quarters of the way back to the second harmonic to the end of the tail."""
    return _cut(swept, impulse, 0.0, _LINEAR_BEFORE * swept.early_s(2), tail_s)


def harmonic_piece(swept: Sweep, impulse: FloatArray, order: int) -> Piece:
    """What lies round the moment of one order, up to where the next lower order begins."""
    early_s = swept.early_s(order)
    before_s = _BEFORE * (swept.early_s(order + 1) - early_s)
    after_s = (1 - _BEFORE) * (early_s - swept.early_s(order - 1))
    return _cut(swept, impulse, -early_s, before_s, after_s)


def noise_size(swept: Sweep, impulse: FloatArray, hz: FloatArray, frames: int) -> FloatArray:
    """Size of the noise (frequencies,) in a cut of so many frames, by third octaves."""
    back = [-round(part * swept.early_s(2) * swept.rate_hz) for part in _NOISE]
    quiet = impulse[back[0] : back[1]] * np.hanning(back[1] - back[0])
    power = np.abs(np.fft.rfft(quiet)) ** 2 * (frames / (0.375 * len(quiet)))
    step_hz = swept.rate_hz / len(quiet)
    summed = np.concatenate(([0.0], np.cumsum(power)))
    low = np.clip((hz / _THIRD_OCTAVE / step_hz).astype(np.int64), 0, len(power) - 1)
    high = np.clip(np.ceil(hz * _THIRD_OCTAVE / step_hz).astype(np.int64) + 1, low + 1, len(power))
    rounding = np.abs(impulse).max() * 1e-15 * math.sqrt(frames)
    return np.asarray(np.sqrt((summed[high] - summed[low]) / (high - low)) + rounding)


def _cut(swept: Sweep, impulse: FloatArray, at_s: float, before_s: float, after_s: float) -> Piece:
    first = math.floor((at_s - before_s) * swept.rate_hz)
    last = math.ceil((at_s + after_s) * swept.rate_hz)
    values = np.take(impulse, np.arange(first, last), mode="wrap")
    rising, falling = round(before_s * swept.rate_hz / 2), max(1, (last - first) // 20)
    values[:rising] *= np.sin(np.pi / 2 * np.arange(rising) / rising) ** 2
    values[-falling:] *= np.cos(np.pi / 2 * np.arange(falling) / falling) ** 2
    return Piece(values=values, first=first - at_s * swept.rate_hz, rate_hz=swept.rate_hz)
