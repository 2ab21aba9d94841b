"""Loudness against the signals of EBU Tech 3341, the tables of BS.1770, and the library on arrays.

Sources, from memory: EBU Tech 3341 (2016), table 1, cases 1 to 5; Recommendation ITU-R BS.1770-4, annex 1.
"""

import math
import tracemalloc

import numpy as np
import pyloudnorm
import pytest

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.loudness.gating import gated_lufs
from pedalwright.sound.loudness.k_weighting import KWeighting
from pedalwright.sound.loudness.meter import LoudnessMeter, loudness_of, loudness_of_stream
from pedalwright.sound.loudness.records import Measured


def tones(rate_hz: float, *segments: tuple[float, float]) -> FloatArray:
    """A stereo sine of 1 kHz, in phase, with a peak level [dBFS] for each stretch [s]."""
    levels = np.concatenate(
        [np.full(round(seconds * rate_hz), 10 ** (level / 20)) for level, seconds in segments]
    )
    tone = levels * np.sin(2 * np.pi * 1000 * np.arange(len(levels)) / rate_hz)
    return np.column_stack((tone, tone))


@pytest.mark.parametrize(
    ("segments", "lufs"),
    [
        (((-23.0, 20.0),), -23.0),
        (((-33.0, 20.0),), -33.0),
        (((-20.0, 20.0),), -20.0),
        (((-36.0, 10.0), (-23.0, 60.0), (-36.0, 10.0)), -23.0),
        (((-72.0, 10.0), (-36.0, 10.0), (-23.0, 60.0), (-36.0, 10.0), (-72.0, 10.0)), -23.0),
        (((-26.0, 20.0), (-20.0, 20.1), (-26.0, 20.0)), -23.0),
    ],
)
def test_the_meter_reads_what_tech_3341_asks_for(
    segments: tuple[tuple[float, float], ...], lufs: float
) -> None:
    """The third is not in the table; it moves with the level. Tolerance of the document: 0.1 LU."""
    found = loudness_of(tones(48000, *segments), 48000)
    assert found.lufs == pytest.approx(lufs, abs=0.1)
    assert found.measured is Measured.GATED


@pytest.mark.parametrize("rate_hz", [44100, 96000, 192000])
def test_it_reads_the_same_at_other_rates(rate_hz: int) -> None:
    """The filters are shifted with the rate; tolerance as above."""
    assert loudness_of(tones(rate_hz, (-23.0, 3.0)), rate_hz).lufs == pytest.approx(-23.0, abs=0.1)


def test_a_full_scale_sine_of_997_hz_in_one_channel_reads_minus_3_01() -> None:
    """BS.1770-4, annex 1, below equation (2)."""
    sine = np.sin(2 * np.pi * 997 * np.arange(5 * 48000) / 48000)
    assert loudness_of(sine, 48000).lufs == pytest.approx(-3.01, abs=0.005)


def test_the_filters_are_those_of_the_tables() -> None:
    """BS.1770-4, tables 1 and 2, at 48 kHz (from memory)."""
    (shelf_b, shelf_a), (pass_b, pass_a) = KWeighting(48000, 1).coefficients
    assert shelf_b == pytest.approx([1.53512485958697, -2.69169618940638, 1.19839281085285], abs=1e-8)
    assert shelf_a == pytest.approx([1.0, -1.69065929318241, 0.73248077421585], abs=1e-8)
    assert pass_b == pytest.approx([1.0, -2.0, 1.0])
    assert pass_a == pytest.approx([1.0, -1.99004745483398, 0.99007225036621], abs=1e-8)


@pytest.mark.parametrize("channels", [1, 2])
@pytest.mark.parametrize("rate_hz", [11025, 22050, 44100, 48000, 96000, 192000])
def test_a_stream_reads_what_the_library_reads_of_the_array(rate_hz: int, channels: int) -> None:
    """However it is cut; noise that rises by 50 dB, so that both gates have something to do."""
    dice = np.random.default_rng(3)
    frames = int(7.3 * rate_hz)
    sound = dice.standard_normal((frames, channels)) * np.geomspace(1e-4, 0.3, frames)[:, None]
    by_library = pyloudnorm.Meter(rate_hz, filter_class="DeMan").integrated_loudness(sound)
    cuts = np.sort(dice.integers(0, frames, 300))
    streamed = loudness_of_stream(np.split(sound, cuts), rate_hz, channels)
    assert streamed.lufs == pytest.approx(by_library, abs=1e-9)
    assert streamed == loudness_of_stream(np.split(sound, cuts), rate_hz, channels)
    assert streamed.seconds == pytest.approx(7.3, abs=1e-4)


def test_five_minutes_take_no_more_memory_than_half_a_minute() -> None:
    block = np.random.default_rng(1).uniform(-0.1, 0.1, 48000)

    def peak_bytes(seconds: int) -> int:
        meter = LoudnessMeter(48000)
        tracemalloc.start()
        try:
            for _ in range(seconds):
                meter.take(block)
            return tracemalloc.get_traced_memory()[1]
        finally:
            tracemalloc.stop()

    peak_bytes(2)
    # What grows is 80 bytes a second.
    assert peak_bytes(300) < peak_bytes(30) + 100 * 300


def test_the_incomplete_block_at_the_end_does_not_count() -> None:
    loud = tones(48000, (-23.0, 4.0))
    tail = tones(48000, (0.0, 0.09))
    with_tail = loudness_of(np.concatenate((loud, tail)), 48000)
    assert with_tail.lufs == pytest.approx(loudness_of(loud, 48000).lufs, abs=1e-9)


def test_gates_by_hand() -> None:
    """Blocks of 1 and of 0.01 (20 dB below) and of nothing: the relative gate leaves the loud ones."""
    assert gated_lufs(np.array([1.0, 1.0, 0.01, 0.0])) == pytest.approx(-0.691)
    assert gated_lufs(np.array([1.0, 0.5])) == pytest.approx(-0.691 + 10 * math.log10(0.75))
    assert gated_lufs(np.array([1e-9, 0.0])) == -math.inf
    assert gated_lufs(np.zeros(0)) == -math.inf


@pytest.mark.parametrize("seconds", [0.01, 0.1, 0.399])
def test_a_short_sound_is_measured_over_its_whole_length_and_says_so(seconds: float) -> None:
    found = loudness_of(tones(48000, (-23.0, seconds)), 48000)
    assert found.measured is Measured.WHOLE
    # The filters' beginning is in it: 2 LU at 10 ms.
    assert found.lufs == pytest.approx(-23.0, abs=2.0 if seconds < 0.1 else 0.2)


def test_silence_and_near_silence_have_no_loudness() -> None:
    silent = loudness_of(np.zeros(96000), 48000)
    assert (silent.measured, silent.lufs, silent.true_peak) == (Measured.SILENT, -math.inf, 0.0)
    assert loudness_of(np.zeros(0), 48000).measured is Measured.SILENT
    for seconds in (0.1, 2.0):
        quiet = loudness_of(tones(48000, (-90.0, seconds)), 48000)
        assert quiet.measured is Measured.TOO_QUIET and not quiet.is_known
        assert quiet.sample_peak == pytest.approx(10 ** (-90 / 20), rel=1e-3)


@pytest.mark.parametrize(("rate_hz", "channels"), [(4000, 1), (48000, 0), (48000, 3)])
def test_what_is_not_measured_is_refused(rate_hz: int, channels: int) -> None:
    with pytest.raises(ValueError, match="loudness"):
        LoudnessMeter(rate_hz, channels)
