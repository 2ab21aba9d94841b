"""How late a response is at every frequency alike, as against the delay of its own filters.

The phase that the size of a response does not explain (its excess over the minimum phase, found through the
cepstrum; A. Oppenheim, R. Schafer, Discrete-Time Signal Processing, from memory) has a slope. Pure lateness
gives every frequency the same slope; all-pass filters add to it at some, so a low quartile is taken.
"""

import numpy as np

from pedalwright.solve.arrays import ComplexArray, FloatArray

_BANDS_AN_OCTAVE = 3
_WEAKEST = 1e-2
"""bands weaker than this against the strongest say nothing"""
_LOWEST_HZ = 100.0
"""below, a frame of lateness hardly turns the phase"""


def latency_frames(impulse: FloatArray, rate_hz: float, band_hz: tuple[float, float], first: int = 0) -> int:
    """Whole frames, none below zero, by which an impulse response (frames,) is late; `first` is its first."""
    gain = np.fft.rfft(impulse)
    hz = np.fft.rfftfreq(len(impulse), 1 / rate_hz)
    excess = gain * np.exp(-1j * _least_phase(gain, np.flatnonzero((hz >= band_hz[0]) & (hz <= band_hz[1]))))
    low_hz = max(band_hz[0], min(_LOWEST_HZ, band_hz[1] / 8))
    inside = np.flatnonzero((hz >= low_hz) & (hz <= band_hz[1]))
    # What turns from one line to the next, band by band, strong lines counting most.
    turning = (excess[1:] * np.conj(excess[:-1]))[inside[:-1]]
    count = round(np.log2(band_hz[1] / low_hz) * _BANDS_AN_OCTAVE)
    edges = np.unique(np.searchsorted(hz[inside], np.geomspace(low_hz, band_hz[1], count + 1)[:-1]))
    bands = np.add.reduceat(turning, edges[edges < len(turning)])
    strength = np.sqrt(np.abs(bands))
    turned = np.angle(bands[strength >= _WEAKEST * strength.max()])
    late = first + np.mod(-turned / (2 * np.pi) * len(impulse), len(impulse))
    return max(0, round(float(np.quantile(late, 0.25))))


def _least_phase(gain: ComplexArray, inside: np.ndarray) -> FloatArray:
    """Minimum phase for the same size of response; beyond the band the size goes on as at its edge."""
    size = np.abs(gain)
    size[: inside[0]], size[inside[-1] + 1 :] = size[inside[0]], size[inside[-1]]
    frames = 2 * (len(gain) - 1)
    cepstrum = np.fft.irfft(np.log(np.maximum(size, size.max() * 1e-8)), frames)
    cepstrum[1 : frames // 2] *= 2
    cepstrum[frames // 2 + 1 :] = 0
    return np.asarray(np.fft.rfft(cepstrum).imag)
