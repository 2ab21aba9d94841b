"""One-bit delta modulation: slope limit and the classical signal-to-noise figure."""

import math

from pedalwright.formulas._kinds import ln


def step_at_slope_limit(*, peak: float, frequency_hz: float, sample_hz: float) -> float:
    """Smallest step that still follows a sine [unit of the peak].

    d = 2 pi f A/fs

    peak: A, peak of the sine [V]
    frequency_hz: f [Hz]
    sample_hz: fs, bits per second [Hz]
    Valid: fixed step, one bit per sample.
    Source: [Sharma], slope-overload example.

    >>> print(f"{step_at_slope_limit(peak=1.0, frequency_hz=3.4e3, sample_hz=20e3):.6f}")
    1.068142
    """
    return 2 * math.pi * frequency_hz * peak / sample_hz


def best_snr_db(*, sample_hz: float, frequency_hz: float, band_hz: float) -> float:
    """Signal-to-noise ratio of a linear delta modulator at its slope limit [dB].

    SNR = 3 fs^3/(8 pi^2 f^2 W)

    sample_hz: fs [Hz]
    frequency_hz: f, the sine [Hz]
    band_hz: W, width of the filter behind [Hz]
    Valid: fixed step. Trust the 9 dB an octave of fs; the number itself only within -9 to +6 dB.
    Source: [Haykin] Ex. 5.5.

    >>> print(f"{best_snr_db(sample_hz=8e3, frequency_hz=4e3, band_hz=4e3):.4f}")
    -5.1718
    """
    ratio = 3 * sample_hz**3 / (8 * math.pi**2 * frequency_hz**2 * band_hz)
    return 10 * ln(ratio) / math.log(10)
