"""Small-signal gain against scipy.signal.freqz to one part in ten thousand and better."""

import numpy as np
import pytest
from scipy import signal

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.measure.signals import always
from pedalwright.sound.measure.small_signal import small_signal

RATE_HZ = 48_000.0
B, A = signal.butter(2, [30, 3000], "band", fs=RATE_HZ)


def soft(in_v: FloatArray) -> FloatArray:
    return np.asarray(100 * signal.lfilter(B, A, np.tanh(in_v)))


def test_many_tones_at_once_and_one_alone() -> None:
    many = small_signal(always(soft), RATE_HZ, np.geomspace(20, 20e3, 31).tolist())
    alone = small_signal(always(soft), RATE_HZ, [1000.0])
    for found in (many, alone):
        expected = 100 * signal.freqz(B, A, found.frequency_hz, fs=RATE_HZ)[1]
        assert np.abs(found.gain / expected - 1).max() < 1e-6 and found.remarks == ()
    assert len(many.gain) == 31 and len(alone.gain) == 1
    np.testing.assert_allclose(many.frequency_hz, np.geomspace(20, 20e3, 31), rtol=0.05)


def test_the_doubt_covers_what_a_louder_sound_bends() -> None:
    found = small_signal(always(soft), RATE_HZ, [200.0, 1000.0, 3000.0], peak_v=0.2)
    off = np.abs(found.gain / (100 * signal.freqz(B, A, found.frequency_hz, fs=RATE_HZ)[1]) - 1)
    assert (off > 1e-4).all() and (off <= 1.1 * found.doubt).all() and (found.doubt < 10 * off).all()


def test_the_doubt_covers_noise() -> None:
    generator = np.random.default_rng(7)
    found = small_signal(
        always(lambda v: v + 1e-5 * generator.standard_normal(len(v))),
        RATE_HZ,
        [100.0, 1000.0, 10e3],
        averages=8,
    )
    assert found.remarks == () and (np.abs(found.gain - 1) < found.doubt).all()
    assert (found.doubt < 2e-3).all()


def test_latency_is_taken_off() -> None:
    late = always(lambda v: np.concatenate((np.zeros(11), v[:-11])))
    found = small_signal(late, RATE_HZ, [100.0, 10e3], latency_frames=11)
    np.testing.assert_allclose(found.gain, 1, atol=1e-6)


def test_what_cannot_be_had_says_so() -> None:
    assert "half the rate" in small_signal(always(soft), RATE_HZ, [30e3]).remarks[0]
    some = small_signal(always(soft), RATE_HZ, [1000.0, 30e3])
    assert len(some.gain) == 1 and "left out" in some.remarks[0]
    moving = small_signal(always(lambda v: v * np.linspace(1, 2, len(v))), RATE_HZ, [1000.0])
    assert len(moving.gain) == 0 and "did not settle" in moving.remarks[0]
    assert "silent" in small_signal(always(np.zeros_like), RATE_HZ, [1000.0]).remarks[0]


@pytest.mark.parametrize("peak_v", [1e-6, 1.0])
def test_the_level_makes_no_difference_to_a_linear_filter(peak_v: float) -> None:
    found = small_signal(
        always(lambda v: np.asarray(signal.lfilter(B, A, v))), RATE_HZ, [100.0], peak_v=peak_v
    )
    assert found.level_change.max() < 1e-9
