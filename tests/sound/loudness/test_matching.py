"""Equal loudness and safe peaks, measured again after the gains."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.loudness.matching import (
    SAFE,
    Ceiling,
    Match,
    gain_to,
    matched,
    peak_after_dbtp,
    safe_gain,
)
from pedalwright.sound.loudness.meter import loudness_of
from pedalwright.sound.loudness.records import Loudness, Measured

RATE_HZ = 48000


def heard(lufs: float, true_peak: float) -> Loudness:
    measured = Measured.GATED if math.isfinite(lufs) else Measured.TOO_QUIET
    return Loudness(lufs=lufs, measured=measured, sample_peak=true_peak, true_peak=true_peak, seconds=1.0)


def tone(peak: float) -> FloatArray:
    return peak * np.sin(2 * np.pi * 700 * np.arange(2 * RATE_HZ) / RATE_HZ)


def clicks(peak: float) -> FloatArray:
    """Much peak for its loudness: the peak, not the loudness, is what limits it."""
    return np.where(np.arange(2 * RATE_HZ) % 9600 == 4800, peak, 0.0)


def test_both_sound_alike_and_neither_exceeds_the_ceiling() -> None:
    sounds = [tone(0.02), clicks(3.0), np.tanh(20 * tone(1.0))]
    found = matched([loudness_of(sound, RATE_HZ) for sound in sounds])
    after = [loudness_of(gain * sound, RATE_HZ) for gain, sound in zip(found.gains, sounds, strict=True)]
    assert found.how is Match.EQUAL and found.lufs is not None
    assert [one.lufs for one in after] == pytest.approx([found.lufs] * 3, abs=1e-6)
    assert max(one.true_peak_dbtp for one in after) == pytest.approx(-1.0, abs=1e-6)
    assert found.lufs <= -16.0


def test_what_is_loud_without_peaks_is_limited_by_its_loudness() -> None:
    sound = tone(1.0)
    gain = safe_gain(loudness_of(sound, RATE_HZ))
    assert loudness_of(gain * sound, RATE_HZ).lufs == pytest.approx(-16.0, abs=1e-6)


def test_a_wish_below_the_ceiling_is_met() -> None:
    assert safe_gain(heard(-30.0, 0.1), wanted=2.0) == 2.0
    assert matched([heard(-30, 0.1), heard(-20, 0.2)], wanted_lufs=-40).gains == pytest.approx(
        [10**-0.5, 0.1], rel=1e-9
    )


def test_the_gain_to_another_loudness() -> None:
    assert gain_to(heard(-30, 0.1), heard(-24, 0.9)) == pytest.approx(10 ** (6 / 20))
    assert gain_to(heard(-math.inf, 0.0), heard(-24, 0.9)) is None


def test_with_one_that_cannot_be_measured_all_are_raised_alike_and_it_is_said() -> None:
    silent = Loudness(lufs=-math.inf, measured=Measured.SILENT, sample_peak=0, true_peak=0, seconds=1)
    found = matched([silent, heard(-10.0, 0.5)])
    assert found.how is Match.SAME_GAIN and found.lufs is None
    assert found.gains == pytest.approx([10 ** (-6 / 20)] * 2)
    assert matched([silent, silent]).gains == (1.0, 1.0)
    assert safe_gain(silent) == 1.0


def test_a_ceiling_on_the_peak_alone() -> None:
    gain = safe_gain(heard(-3.0, 0.5), ceiling=Ceiling(peak_dbtp=-6.0, loudest_lufs=math.inf))
    assert peak_after_dbtp(heard(-3.0, 0.5), gain) == pytest.approx(-6.0)


levels = st.tuples(st.floats(-69.9, 30), st.floats(1e-6, 1e3)).map(lambda both: heard(*both))


@given(st.lists(st.one_of(levels, st.just(heard(-math.inf, 0.01))), min_size=1, max_size=4))
def test_no_set_of_sounds_exceeds_the_ceiling(sounds: list[Loudness]) -> None:
    found = matched(sounds)
    for gain, one in zip(found.gains, sounds, strict=True):
        assert math.isfinite(gain) and gain > 0
        assert peak_after_dbtp(one, gain) <= SAFE.peak_dbtp + 1e-9
        assert not one.is_known or one.lufs + 20 * math.log10(gain) <= SAFE.loudest_lufs + 1e-9
