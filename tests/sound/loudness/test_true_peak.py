"""True peak against the sines of EBU Tech 3341, cases 15 to 19 (from memory), tolerance +0.2 and -0.4 dB."""

import math

import numpy as np
import pytest

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.loudness.true_peak import PeakMeter


def peaks(sound: FloatArray, rate_hz: float, pieces: int = 7) -> tuple[float, float]:
    """Sample peak and true peak [dB over full scale]."""
    meter = PeakMeter(rate_hz, 1)
    for block in np.array_split(sound[:, None], pieces):
        meter.take(block)
    return 20 * math.log10(meter.sample_peak), 20 * math.log10(meter.true_peak())


def sine(rate_hz: float, divisor: float, degrees: float, peak: float) -> FloatArray:
    """Half a second at a fraction of the rate, with soft ends: an abrupt one has a peak of its own."""
    frames = round(rate_hz / 2)
    ends = np.minimum(1, np.minimum(np.arange(frames), np.arange(frames)[::-1]) / (0.1 * frames))
    sound: FloatArray = peak * ends * np.sin(2 * np.pi * np.arange(frames) / divisor + math.radians(degrees))
    return sound


@pytest.mark.parametrize("rate_hz", [44100.0, 48000.0, 96000.0])
@pytest.mark.parametrize(
    ("divisor", "degrees", "peak", "dbtp"),
    [
        (4, 0.0, 0.5, -6.0),
        (4, 45.0, 0.5, -6.0),
        (6, 60.0, 0.5, -6.0),
        (8, 67.5, 0.5, -6.0),
        (4, 45.0, 1.41, 3.0),
        (4, 45.0, 1.0, 0.0),
    ],
)
def test_the_peak_between_samples_is_found(
    divisor: float, degrees: float, peak: float, dbtp: float, rate_hz: float
) -> None:
    found = peaks(sine(rate_hz, divisor, degrees, peak), rate_hz)[1]
    assert dbtp - 0.4 < found < dbtp + 0.2


def test_samples_alone_miss_three_decibels() -> None:
    """A sine of a quarter of the rate at 45 degrees has samples at -3.01 dB only; its true peak is 0 dB."""
    by_sample, between = peaks(sine(48000, 4, 45.0, 1.0), 48000)
    assert by_sample == pytest.approx(-3.01, abs=0.005)
    assert between == pytest.approx(0.0, abs=0.05)


def test_the_last_frames_count() -> None:
    """A pulse at the very end is not lost in the filter's delay."""
    sound = np.zeros(5000)
    sound[-1] = 0.5
    assert peaks(sound, 48000)[1] == pytest.approx(-6.02, abs=0.01)


def test_a_dense_rate_needs_no_denser_one() -> None:
    by_sample, between = peaks(sine(192000.0, 9.7, 0.0, 0.5), 192000.0)
    assert by_sample == between
