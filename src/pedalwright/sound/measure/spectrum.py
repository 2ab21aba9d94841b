"""Power spectra of finished signals, and the level within a band.

Source: P. D. Welch, The use of fast Fourier transform for the estimation of power spectra, IEEE Trans. Audio
Electroacoust. AU-15, 70-73, 1967 (from memory); Hann windows overlapping by three quarters.
"""

import numpy as np

from pedalwright.solve.arrays import ComplexArray, FloatArray, IndexArray

LOW_HZ, HIGH_HZ = 20.0, 20e3
"""the audio band of AES17, from memory"""
_LONGEST_FRAMES = 1 << 15
_EDGE_OCTAVES = 0.5
_BESIDE = 24
"""lines of the spectrum on either side that tell the noise"""


def audio_band_hz(rate_hz: float) -> tuple[float, float]:
    """The band measured in [Hz]: 20 Hz to 20 kHz, or to half the rate where that is less."""
    return LOW_HZ, min(HIGH_HZ, rate_hz / 2)


def power_spectrum(signal_v: FloatArray, rate_hz: float) -> tuple[FloatArray, FloatArray]:
    """Frequencies [Hz] and mean square at each [V^2], mean value removed; the sum is the mean square."""
    from scipy.signal import welch

    frames = min(len(signal_v), _LONGEST_FRAMES)
    frequency_hz, density = welch(
        signal_v - signal_v.mean(), rate_hz, "hann", frames, noverlap=frames * 3 // 4, detrend=False
    )
    return frequency_hz, density * (rate_hz / frames)


def band_rms_v(signal_v: FloatArray, rate_hz: float, band_hz: tuple[float, float]) -> float:
    """Root mean square of what lies within a band [V]."""
    frequency_hz, power = power_spectrum(signal_v, rate_hz)
    inside = (frequency_hz >= band_hz[0]) & (frequency_hz <= band_hz[1])
    return float(np.sqrt(power[inside].sum()))


def noise_beside(spectrum: ComplexArray, bins: IndexArray) -> FloatArray:
    """Size of the noise (bins,) beside each line; the median, so that lines of distortion do not count."""
    size = np.abs(spectrum)
    size[bins] = np.nan
    padded = np.pad(size, _BESIDE, constant_values=np.nan)
    nearby = padded[bins[:, None] + np.arange(2 * _BESIDE + 1)]
    return np.asarray(np.nan_to_num(np.nanmedian(nearby, axis=1)))


def analytic_signal(signal_v: FloatArray, rate_hz: float, band_hz: tuple[float, float]) -> ComplexArray:
    """What lies within a band (frames,), with the same a quarter turn late as imaginary part.

    No frequency is delayed; half an octave round either edge the band fades.
    """
    frames = fast_frames(len(signal_v) + round(0.1 * rate_hz))
    octaves = np.log2(np.maximum(np.fft.rfftfreq(frames, 1 / rate_hz), 1e-9))
    low, high = np.log2(band_hz[0]), np.log2(band_hz[1])
    inside = _edge((octaves - low) / _EDGE_OCTAVES) * _edge((high - octaves) / _EDGE_OCTAVES)
    spectrum = np.zeros(frames, dtype=complex)
    spectrum[: len(octaves)] = 2 * inside * np.fft.rfft(signal_v, frames)
    return np.asarray(np.fft.ifft(spectrum)[: len(signal_v)])


def fast_frames(least: int) -> int:
    """A length no shorter than this for which the Fourier transform is quick."""
    from scipy.fft import next_fast_len

    return int(next_fast_len(least, real=True))


def _edge(part: FloatArray) -> FloatArray:
    return np.asarray(np.sin(np.pi / 4 * (1 + np.clip(2 * part, -1, 1))) ** 2)
