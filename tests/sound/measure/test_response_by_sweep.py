"""Responses by sweep against scipy.signal.freqz, and harmonics against a model known in closed form."""

import numpy as np
import pytest
from scipy import signal

from pedalwright.solve.arrays import ComplexArray, FloatArray
from pedalwright.sound.measure.signals import Play, always
from pedalwright.sound.measure.sweep import sweep
from pedalwright.sound.measure.sweep_response import SweepResponse, sweep_response

RATE_HZ = 48_000.0
Filter = tuple[FloatArray, FloatArray]


def filtering(b: FloatArray, a: FloatArray) -> Play:
    return lambda in_v: np.asarray(signal.lfilter(b, a, in_v))


def errors(found: ComplexArray, expected: ComplexArray) -> tuple[float, float]:
    """The largest in decibels and in degrees."""
    ratio = found / expected
    return float(np.abs(20 * np.log10(np.abs(ratio))).max()), float(np.abs(np.degrees(np.angle(ratio))).max())


@pytest.mark.parametrize(
    "coefficients",
    [
        signal.butter(2, [100, 5000], "band", fs=RATE_HZ),
        signal.iirpeak(300, 20, fs=RATE_HZ),
        (np.concatenate(([1.0], np.zeros(9_599), [0.5])), np.ones(1)),
    ],
    ids=["band-pass", "resonance", "one repeat after 0.2 s"],
)
def test_a_linear_filter(coefficients: Filter) -> None:
    found = sweep_response(always(filtering(*coefficients)), RATE_HZ, peak_v=0.1)
    expected = signal.freqz(*coefficients, found.frequency_hz, fs=RATE_HZ)[1]
    level_db, turn_deg = errors(found.gain, expected)
    assert found.valid.all() and found.linear.all() and found.remarks == () and found.latency_s == 0
    assert level_db < 0.01 and turn_deg < 0.1
    assert found.frequency_hz[0] == pytest.approx(20, rel=0.02)
    assert found.frequency_hz[-1] == pytest.approx(20e3, rel=0.001)


@pytest.mark.parametrize("given_frames", [None, 137])
def test_latency_is_found_and_taken_off(given_frames: int | None) -> None:
    b, a = signal.butter(1, 3000, fs=RATE_HZ)
    late = np.concatenate((np.zeros(137), b))
    found = sweep_response(always(filtering(late, a)), RATE_HZ, peak_v=1.0, latency_frames=given_frames)
    assert found.latency_s * RATE_HZ == pytest.approx(137)
    level_db, turn_deg = errors(found.gain, signal.freqz(b, a, found.frequency_hz, fs=RATE_HZ)[1])
    assert level_db < 0.01 and turn_deg < 0.1


def test_harmonics_of_squares_and_cubes_behind_filters() -> None:
    """A Hammerstein model: each power has a filter of its own; at this rate nothing folds back."""
    rate_hz, peak_v, a2, a3 = 192_000.0, 0.5, 0.3, 0.2
    first, second, third = (
        signal.butter(1, 2000, fs=rate_hz),
        signal.butter(2, 3000, fs=rate_hz),
        signal.butter(1, 800, "high", fs=rate_hz),
    )

    def model(in_v: FloatArray) -> FloatArray:
        straight = signal.lfilter(*first, in_v)
        return np.asarray(
            straight + a2 * signal.lfilter(*second, in_v**2) + a3 * signal.lfilter(*third, in_v**3)
        )

    def gain(coefficients: Filter, hz: FloatArray) -> ComplexArray:
        return np.asarray(signal.freqz(*coefficients, hz, fs=rate_hz)[1])

    found = sweep_response(always(model), rate_hz, peak_v=peak_v, latency_frames=0)
    hz = found.frequency_hz
    level_db, turn_deg = errors(found.gain, gain(first, hz) + 0.75 * a3 * peak_v**2 * gain(third, hz))
    assert level_db < 0.01 and turn_deg < 0.1
    twos, threes, fours, fives = found.harmonics
    # sin^2 = (1 - cos 2x)/2, sin^3 = (3 sin x - sin 3x)/4
    level_db, turn_deg = errors(twos.ratio, -0.5j * a2 * peak_v * gain(second, 2 * twos.input_hz))
    assert twos.valid.all() and level_db < 0.1 and turn_deg < 0.5
    expected = -0.25 * a3 * peak_v**2 * gain(third, 3 * threes.input_hz)
    # Believed means to a tenth; the bottom of the band, where the second harmonic rings on, is the worst.
    assert threes.valid.mean() > 0.8 and np.abs(threes.ratio / expected - 1)[threes.valid].max() < 0.1
    level_db, turn_deg = errors(*(ratio[threes.input_hz > 150] for ratio in (threes.ratio, expected)))
    assert level_db < 0.01 and turn_deg < 0.1
    for absent in (fours, fives):
        assert not absent.valid.any()
    assert not found.linear.all() and "not linear at this level" in found.remarks[0]


def test_noise_is_estimated_and_spoils_what_it_covers() -> None:
    generator = np.random.default_rng(4)
    b, a = signal.butter(4, 1000, fs=RATE_HZ)

    def hissing(in_v: FloatArray) -> FloatArray:
        return np.asarray(signal.lfilter(b, a, in_v) + 1e-2 * generator.standard_normal(len(in_v)))

    found = sweep_response(always(hissing), RATE_HZ, peak_v=1.0, latency_frames=0)
    expected = signal.freqz(b, a, found.frequency_hz, fs=RATE_HZ)[1]
    assert found.valid[: len(found.valid) // 2].all() and not found.valid[-20:].any()
    off = np.abs(found.gain - expected)
    doubt = np.abs(found.gain) * 10 ** (-found.snr_db / 20)
    # The estimate is that of one standard deviation: few errors are beyond twice as much, and it is no guess.
    assert (off < 2 * doubt).mean() > 0.9 and np.median(off / doubt) > 0.2
    assert any("too faint" in remark for remark in found.remarks)


@pytest.mark.parametrize(("play", "word"), [(np.zeros_like, "silent"), (lambda v: v * np.nan, "not numbers")])
def test_no_curve_where_nothing_is_heard(play: Play, word: str) -> None:
    found: SweepResponse = sweep_response(always(play), RATE_HZ, peak_v=1.0)
    assert len(found.gain) == 0 and word in found.remarks[0]


def test_a_tail_that_is_cut_off_is_remarked_on() -> None:
    ringing = signal.iirpeak(200, 1500, fs=RATE_HZ)
    found = sweep_response(always(filtering(*ringing)), RATE_HZ, peak_v=1.0, tail_s=0.5)
    assert any("rings on" in remark for remark in found.remarks)


def test_the_sweep_is_its_own_harmonic() -> None:
    """Novak, Lotton and Simon 2015: the n-th multiple of the phase is the sweep itself, L ln n earlier."""
    made = sweep(RATE_HZ, seconds=3.0)
    assert made.low_hz * made.growth_s == pytest.approx(round(made.low_hz * made.growth_s))
    for order in (2, 3, 5):
        at_s = np.linspace(0.1, 1.0, 50)
        turns = made.low_hz * made.growth_s * np.exp(at_s / made.growth_s)
        early = made.low_hz * made.growth_s * np.exp((at_s + made.early_s(order)) / made.growth_s)
        np.testing.assert_allclose(order * turns, early, rtol=1e-12)
