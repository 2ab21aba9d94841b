"""Times and levels of repeats made by hand, with filters in the loop, and the decay they add up to."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import signal

from pedalwright.formulas.echo import decay_s
from pedalwright.solve.arrays import ComplexArray, FloatArray
from pedalwright.sound.measure.clicks import OCTAVES_HZ, click, echo_pattern
from pedalwright.sound.measure.decay import decay
from pedalwright.sound.measure.echoes_by_sweep import echo_pattern_by_sweep
from pedalwright.sound.measure.repeats_heard import heard_repeats
from pedalwright.sound.measure.signals import Fresh, Play, always

RATE_HZ = 48_000.0
SECONDS = 4.0
LOOP = signal.butter(1, [150, 3000], "band", fs=RATE_HZ)
FLAT = (np.ones(1), np.ones(1))


def echoing(
    delay_s: float, ratio: float, loop: tuple[FloatArray, FloatArray] = FLAT, *, dry: float = 1.0
) -> Fresh:
    """Dry sound, then repeats, delayed in the frequency domain: the delay need not be whole frames.

    The first repeat is `ratio` times the input, each goes through the filter once more.
    """

    def play(in_v: FloatArray) -> FloatArray:
        frames = 1 << 19
        hz = np.fft.rfftfreq(frames, 1 / RATE_HZ)
        once = ratio * signal.freqz(*loop, hz, fs=RATE_HZ)[1] * np.exp(-2j * np.pi * hz * delay_s)
        count = int(frames / RATE_HZ / delay_s) - 1
        gain = dry + (once - once**count) / (1 - once)
        return np.asarray(np.fft.irfft(np.fft.rfft(in_v, frames) * gain, frames)[: len(in_v)])

    return always(play)


def gain_db(hz: float, number: int, ratio: float, loop: tuple[FloatArray, FloatArray]) -> float:
    return float(20 * number * np.log10(ratio * abs(signal.freqz(*loop, [hz], fs=RATE_HZ)[1][0])))


@settings(max_examples=12, deadline=None)
@given(st.floats(0.06, 0.6), st.floats(0.2, 0.9))
def test_times_and_levels_of_a_comb(delay_s: float, ratio: float) -> None:
    found = echo_pattern(echoing(delay_s, ratio), RATE_HZ, seconds=SECONDS)
    assert len(found.arrivals) >= 4
    for arrival in found.arrivals:
        number = arrival.number - 1
        assert arrival.time_s == pytest.approx(number * delay_s, rel=5e-4, abs=1e-5)
        assert arrival.reference_db == pytest.approx(20 * number * np.log10(ratio), abs=0.05)
    repeats = heard_repeats(found)
    assert repeats.spacing_s == pytest.approx(delay_s, rel=5e-4)
    assert repeats.ratio == pytest.approx(ratio, rel=5e-3)


def test_filters_in_the_loop_darken_and_delay() -> None:
    delay_s, ratio = 0.3001234, 0.8
    found = echo_pattern(echoing(delay_s, ratio, LOOP), RATE_HZ, seconds=SECONDS)
    hz = np.geomspace(500, 2000, 400)
    size = np.abs(signal.freqz(*LOOP, hz, fs=RATE_HZ)[1])
    late_s = signal.group_delay(LOOP, hz, fs=RATE_HZ)[1] / RATE_HZ
    for arrival in found.arrivals[1:5]:
        number = arrival.number - 1
        # The middle of the energy is the group delay weighted by the energy; linear frequency, so times hz.
        weight = size ** (2 * number) * hz
        filters_s = number * (late_s * weight).sum() / weight.sum()
        assert arrival.time_s == pytest.approx(number * delay_s + filters_s, abs=5e-5)
        assert arrival.reference_db == pytest.approx(gain_db(1000.0, number, ratio, LOOP), abs=0.05)
        for middle_hz, level_db in zip(OCTAVES_HZ[1:], arrival.octaves_db[1:], strict=True):
            inside = np.linspace(middle_hz / np.sqrt(2), middle_hz * np.sqrt(2), 500)
            power = (ratio * np.abs(signal.freqz(*LOOP, inside, fs=RATE_HZ)[1])) ** (2 * number)
            assert level_db == pytest.approx(10 * np.log10(power.mean()), abs=0.05)
    repeats = heard_repeats(found)
    assert repeats.ratio == pytest.approx(10 ** (gain_db(1000.0, 1, ratio, LOOP) / 20), rel=5e-3)


def test_a_sweep_finds_what_noise_hides_from_a_click() -> None:
    generator = np.random.default_rng(12)
    play = echoing(0.3001234, 0.5, LOOP)()
    noisy = always(lambda v: play(v) + 1e-3 * generator.standard_normal(len(v)))
    by_click = echo_pattern(noisy, RATE_HZ, seconds=2.0, peak_v=0.5)
    by_sweep = echo_pattern_by_sweep(noisy, RATE_HZ, seconds=2.0, peak_v=0.5)
    assert len(by_sweep.arrivals) > len(by_click.arrivals)
    for arrival in by_sweep.arrivals[:4]:
        number = arrival.number - 1
        assert arrival.reference_db == pytest.approx(gain_db(1000.0, number, 0.5, LOOP), abs=0.1)
        assert arrival.after_first_s == pytest.approx(number * 0.3001234, abs=1e-3)


def test_a_thump_at_the_start_is_no_arrival() -> None:
    def thumping(in_v: FloatArray) -> FloatArray:
        late = np.concatenate((np.zeros(100), in_v[:-100]))
        late[:50] += 1.0
        return late

    found = echo_pattern(always(thumping), RATE_HZ, seconds=1.0, latency_frames=100)
    assert [one.time_s for one in found.arrivals] == pytest.approx([0.0], abs=1e-6)


def test_two_delays_give_the_pattern_of_both() -> None:
    frames, levels = np.array([0, 4_801, 8_000, 9_602, 12_801]), np.array([1.0, 0.6, 0.5, 0.36, 0.3])

    def play(in_v: FloatArray) -> FloatArray:
        late = [np.concatenate((np.zeros(at), in_v))[: len(in_v)] for at in frames]
        return np.asarray(np.tensordot(levels, np.array(late), 1))

    found = echo_pattern(always(play), RATE_HZ, seconds=1.0)
    assert [one.time_s * RATE_HZ for one in found.arrivals] == pytest.approx(frames, abs=0.5)
    assert [one.reference_db for one in found.arrivals] == pytest.approx(20 * np.log10(levels), abs=0.05)
    assert "one spacing" in heard_repeats(found).remarks[0]


def test_a_repeat_hidden_by_noise_ends_the_series() -> None:
    found = echo_pattern(echoing(0.25, 0.5), RATE_HZ, seconds=2.0)
    hidden = replace(found.arrivals[3], reference_db=None)
    repeats = heard_repeats(replace(found, arrivals=(*found.arrivals[:3], hidden, *found.arrivals[4:])))
    assert repeats.count == 2 and repeats.spacing_s == pytest.approx(0.25, rel=5e-4)


def test_arrivals_that_touch_and_noise_that_hides_are_told() -> None:
    def near(in_v: FloatArray) -> FloatArray:
        return np.asarray(in_v + np.concatenate((np.zeros(40), in_v[:-40])))

    assert len(echo_pattern(always(near), RATE_HZ, seconds=1.0).arrivals) == 1
    generator = np.random.default_rng(5)
    noisy: Play = lambda v: echoing(0.25, 0.5)()(v) + 3e-3 * generator.standard_normal(len(v))  # noqa: E731
    found = echo_pattern(always(noisy), RATE_HZ, seconds=2.0, peak_v=1.0)
    assert any("noise" in remark for remark in found.remarks)
    times = [one.time_s for one in found.arrivals]
    assert times == pytest.approx(0.25 * np.arange(len(times)), abs=2e-4) and 3 <= len(times) <= 6


@pytest.mark.parametrize(("play", "word"), [(np.zeros_like, "silent"), (lambda v: v * np.nan, "numbers")])
def test_nothing_arrives(play: Play, word: str) -> None:
    found = echo_pattern(always(play), RATE_HZ, seconds=1.0)
    assert found.arrivals == () and word in found.remarks[0]
    assert heard_repeats(found).ratio is None
    assert decay(always(play)()(click(RATE_HZ, 1.0, 1.0)), RATE_HZ).rt60_s is None


@pytest.mark.parametrize("ratio", [0.3, 0.5, 0.69])
def test_the_decay_of_steep_repeats_is_taken_from_their_ratio(ratio: float) -> None:
    """T60 = 3 tau/log10(1/g), Schroeder's comb; a line through so coarse a staircase would be off."""
    play = echoing(0.3, ratio)
    repeats = heard_repeats(echo_pattern(play, RATE_HZ, seconds=SECONDS))
    found = decay(play()(click(RATE_HZ, SECONDS, 1.0)), RATE_HZ, repeats=repeats)
    assert found.method == "ratio of repeats"
    assert found.rt60_s == pytest.approx(decay_s(0.3, ratio), rel=1e-3)


@pytest.mark.parametrize(("delay_s", "ratio", "seconds"), [(0.1, 0.708, 4.0), (0.05, 0.8, 4.0)])
def test_the_decay_of_flat_repeats_is_integrated(delay_s: float, ratio: float, seconds: float) -> None:
    play = echoing(delay_s, ratio)
    repeats = heard_repeats(echo_pattern(play, RATE_HZ, seconds=seconds))
    found = decay(play()(click(RATE_HZ, seconds, 1.0)), RATE_HZ, repeats=repeats)
    assert found.method == "backward integration" and found.remarks == ()
    # Schroeder's own choice, 0.1 s and 0.708, gives 2 s.
    assert found.rt60_s == pytest.approx(decay_s(delay_s, ratio), rel=0.02)


@pytest.mark.parametrize("rt60_s", [0.4, 1.2, 3.0])
def test_the_decay_of_a_room_of_noise(rt60_s: float) -> None:
    time_s = np.arange(round(2 * RATE_HZ)) / RATE_HZ
    noise = np.random.default_rng(6).standard_normal(len(time_s))
    found = decay(noise * 10 ** (-3 * time_s / rt60_s), RATE_HZ)
    assert found.rt60_s == pytest.approx(rt60_s, rel=0.05)


def test_no_decay_time_where_there_is_none() -> None:
    noise = np.random.default_rng(8).standard_normal(96_000)
    assert "noisy" in decay(noise, RATE_HZ).remarks[0]
    growing = echoing(0.1, 1.02)
    repeats = heard_repeats(echo_pattern(growing, RATE_HZ, seconds=2.0))
    found = decay(growing()(click(RATE_HZ, 2.0, 1.0)), RATE_HZ, repeats=repeats)
    assert found.rt60_s is None and "do not die away" in found.remarks[0]


def test_two_slopes_are_told() -> None:
    time_s = np.arange(round(4 * RATE_HZ)) / RATE_HZ
    noise = np.random.default_rng(9).standard_normal(len(time_s))
    found = decay(noise * (10 ** (-3 * time_s / 0.3) + 0.05 * 10 ** (-3 * time_s / 3.0)), RATE_HZ)
    assert any("not a straight line" in remark for remark in found.remarks)


def spectrum_of(in_v: FloatArray) -> ComplexArray:
    return np.fft.rfft(in_v)


def test_the_click_holds_every_frequency_alike() -> None:
    np.testing.assert_allclose(np.abs(spectrum_of(click(RATE_HZ, 0.5, 0.3))), 0.3, rtol=1e-9)
