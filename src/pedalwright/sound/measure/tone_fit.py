"""Frequency and harmonics of a tone in a finished signal, whatever its frequency.

The four-parameter sine fit of IEEE Std 1057 (from memory) with harmonics added: linear least squares, and
Gauss-Newton steps on the frequency alone.
"""

from dataclasses import dataclass

import numpy as np

from pedalwright.solve.arrays import ComplexArray, FloatArray

_STEPS = 8
_STILL_RAD = 1e-9
_MOST_FRAMES = 1 << 16


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ToneFit:
    """Cosine phasors (orders,) [V peak] from the first order, direct voltage, and what is left (frames,)."""

    frequency_hz: float
    peaks_v: ComplexArray
    dc_v: float
    left_v: FloatArray


def fit_tone(signal_v: FloatArray, rate_hz: float, *, orders: int, start_hz: float | None = None) -> ToneFit:
    """The periodic signal with so many harmonics that is nearest to the signal (frames,) [V].

    Starts from the strongest line of the spectrum, or from `start_hz`. At most the last 65536 frames count.
    """
    signal_v = signal_v[-_MOST_FRAMES:]
    turn = 2 * np.pi * start_hz / rate_hz if start_hz else _strongest_turn(signal_v)
    frames: FloatArray = np.arange(len(signal_v), dtype=np.float64) - (len(signal_v) - 1) / 2
    # The fundamental finds the frequency first; its harmonics then make it sharp.
    for count in {1: None, orders: None}:
        turn = _sharpened(frames, turn, count, signal_v)
    basis = _basis(frames, turn, orders)
    weights = _nearest(basis, signal_v)
    return ToneFit(
        frequency_hz=turn * rate_hz / (2 * np.pi),
        peaks_v=weights[1::2] - 1j * weights[2::2],
        dc_v=float(weights[0]),
        left_v=signal_v - basis @ weights,
    )


def _sharpened(frames: FloatArray, turn: float, orders: int, signal_v: FloatArray) -> float:
    """Radians a frame after Gauss-Newton steps, which end where a step moves no phase."""
    weights: FloatArray | None = None
    for _ in range(_STEPS):
        basis = _basis(frames, turn, orders)
        weights = _nearest(basis, signal_v) if weights is None else weights
        each = np.arange(1, orders + 1) * frames[:, None]
        slope = (each * (basis[:, 1::2] * weights[2::2] - basis[:, 2::2] * weights[1::2])).sum(axis=1)
        solved = _nearest(np.column_stack((basis, slope)), signal_v)
        weights, step = solved[:-1], float(solved[-1])
        turn += step
        if abs(step) * len(frames) < _STILL_RAD:
            break
    return turn


def _basis(frames: FloatArray, turn: float, orders: int) -> FloatArray:
    """Constant, cosines and sines (frames, 1 + 2 orders)."""
    angle = frames[:, None] * turn * np.arange(1, orders + 1)
    basis = np.empty((len(frames), 1 + 2 * orders))
    basis[:, 0], basis[:, 1::2], basis[:, 2::2] = 1, np.cos(angle), np.sin(angle)
    return basis


def _nearest(basis: FloatArray, signal_v: FloatArray) -> FloatArray:
    """Weights of least squares. Over whole windows the columns are nearly at right angles once scaled to one
    size, so that the normal equations lose nothing.
    """
    size = np.sqrt((basis**2).sum(axis=0)) + 1e-300
    scaled = basis / size
    weights = np.linalg.lstsq(scaled.T @ scaled, scaled.T @ signal_v, rcond=None)[0]
    return np.asarray(weights / size)


def _strongest_turn(signal_v: FloatArray) -> float:
    """Radians a frame of the strongest line, by a parabola through its logarithms under a Hann window."""
    frames = len(signal_v)
    size = np.abs(np.fft.rfft((signal_v - signal_v.mean()) * np.hanning(frames)))
    at = int(np.clip(np.argmax(size), 1, len(size) - 2))
    left, middle, right = np.log(size[at - 1 : at + 2] + 1e-300)
    bend = left - 2 * middle + right
    offset = 0.5 * (left - right) / bend if bend < 0 else 0.0
    return float(2 * np.pi * (at + offset) / frames)
