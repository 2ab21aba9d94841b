"""The exponential sweep: its law, its inverse, and where distortion lands.

Source: A. Farina, AES 108th Convention, Paris 2000, preprint 5093 (from memory).
"""

import math

import numpy as np
import pytest
from scipy.signal import fftconvolve, hilbert

from pedalwright.sound.sources.reading import read_source
from pedalwright.sound.sources.sweeping import inverse_filter, sweep_hz

RATE_HZ = 48000.0
LOW_HZ, HIGH_HZ, SECONDS = 20.0, 20000.0, 4.0
WISH = "sweep:20Hz..20kHz,seconds=4s,level=1V"


def test_the_frequency_climbs_by_equal_intervals_in_equal_times() -> None:
    """Instantaneous frequency from the analytic signal (scipy.signal.hilbert)."""
    volts = read_source(WISH).volts(RATE_HZ)
    found_hz = np.diff(np.unwrap(np.angle(hilbert(volts)))) * RATE_HZ / (2 * np.pi)
    for share in (0.3, 0.5, 0.7, 0.9):
        at = int(share * len(found_hz))
        expected_hz = LOW_HZ * (HIGH_HZ / LOW_HZ) ** share
        assert np.median(found_hz[at - 50 : at + 50]) == pytest.approx(expected_hz, rel=1e-3)
    times_s = np.array([0.0, SECONDS / 2, SECONDS])
    expected = [LOW_HZ, math.sqrt(LOW_HZ * HIGH_HZ), HIGH_HZ]
    assert sweep_hz(times_s, LOW_HZ, HIGH_HZ, SECONDS) == pytest.approx(expected)


def test_sweep_and_inverse_make_one_pulse_even_over_the_band() -> None:
    volts = read_source(WISH).volts(RATE_HZ)
    inverse = inverse_filter(volts, RATE_HZ, LOW_HZ, HIGH_HZ, SECONDS)
    pulse = fftconvolve(volts, inverse)
    assert int(np.argmax(np.abs(pulse))) == len(volts) - 1
    levels_db = 20 * np.log10(np.abs(np.fft.rfft(pulse)))
    hz = np.fft.rfftfreq(len(pulse), 1 / RATE_HZ)
    inner = levels_db[(hz > 3 * LOW_HZ) & (hz < HIGH_HZ / 1.2)]
    assert np.abs(inner).max() < 0.5
    octave = levels_db[(hz > 300) & (hz < 3000)]
    assert np.abs(octave).max() < 0.05


def test_distortion_of_the_second_order_lands_ahead_by_the_formula() -> None:
    """The pulse of the N-th harmonic is early by T ln N / ln(f2/f1)."""
    volts = read_source(WISH).volts(RATE_HZ)
    inverse = inverse_filter(volts, RATE_HZ, LOW_HZ, HIGH_HZ, SECONDS)
    pulse = fftconvolve(volts + 0.1 * volts**2, inverse)
    early = round(SECONDS * math.log(2) / math.log(HIGH_HZ / LOW_HZ) * RATE_HZ)
    before = np.abs(pulse[: len(volts) - 1 - early // 2])
    assert abs(int(np.argmax(before)) - (len(volts) - 1 - early)) <= 2
