"""Level, crest and A-weighting of signals known in closed form; what cannot be measured says so."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pedalwright.sound.measure.level import idle_level, level
from pedalwright.sound.measure.signals import always, played

RATE_HZ = 48_000.0
TIME_S = np.arange(96_000) / RATE_HZ


@given(st.floats(1e-6, 100.0), st.floats(-5.0, 5.0), st.integers(20, 20_000))
def test_a_sine_on_a_resting_voltage(peak_v: float, dc_v: float, tone_hz: int) -> None:
    found = level(dc_v + peak_v * np.sin(2 * np.pi * tone_hz * TIME_S + 0.1), RATE_HZ)
    assert found.rms_v == pytest.approx(peak_v / math.sqrt(2), rel=1e-6)
    assert found.dc_v == pytest.approx(dc_v, abs=1e-9 + 1e-9 * peak_v)
    assert found.peak_v is not None and found.peak_v <= peak_v * (1 + 1e-6)


def test_crest_factors_of_sine_triangle_and_square() -> None:
    # 3.01, 4.77 and 0 dB follow from the definitions: root of two, root of three, one.
    place = TIME_S * 48 % 1
    shapes = {
        10 * math.log10(2): np.sin(2 * np.pi * place),
        10 * math.log10(3): 1 - 4 * np.abs(place - 0.5),
        0.0: np.where(place < 0.5, 1.0, -1.0),
    }
    for crest_db, shape_v in shapes.items():
        assert level(shape_v, RATE_HZ).crest_db == pytest.approx(crest_db, abs=0.01)


@pytest.mark.parametrize(
    ("tone_hz", "weight_db"),
    # Printed in IEC 61672-1 (read in a reproduced table), to a tenth of a decibel, at 1000 10^(n/10) Hz.
    [(31.62, -39.4), (100.0, -19.1), (1000.0, 0.0), (2511.9, 1.3), (10_000.0, -2.5), (15_849.0, -6.6)],
)
def test_the_a_weighted_level_of_a_tone(tone_hz: float, weight_db: float) -> None:
    found = level(np.sin(2 * np.pi * tone_hz * TIME_S), RATE_HZ)
    assert found.a_weighted_rms_v is not None and found.rms_v is not None
    assert 20 * math.log10(found.a_weighted_rms_v / found.rms_v) == pytest.approx(weight_db, abs=0.06)


@pytest.mark.parametrize(
    ("signal_v", "word"),
    [
        (np.zeros(1000), "silent"),
        (np.full(1000, 2.5), "silent"),
        (np.ones(3), "short"),
        (np.zeros(0), "short"),
        (np.full(1000, np.nan), "not numbers"),
        (np.full(1000, np.inf), "not numbers"),
    ],
)
def test_what_has_no_level_says_why(signal_v: np.ndarray, word: str) -> None:
    found = level(signal_v, RATE_HZ)
    assert (found.rms_v, found.peak_v, found.crest_db, found.a_weighted_rms_v) == (None,) * 4
    assert word in found.remarks[0]


def test_the_resting_voltage_of_a_silent_signal_is_known() -> None:
    assert level(np.full(1000, 2.5), RATE_HZ).dc_v == 2.5


def test_a_clipped_signal_is_remarked_on() -> None:
    sine_v = np.sin(2 * np.pi * 997 * TIME_S)
    assert level(sine_v, RATE_HZ).remarks == ()
    assert "as if clipped" in level(np.clip(sine_v, -1, 0.7), RATE_HZ).remarks[0]


def test_the_noise_of_a_player_at_rest() -> None:
    generator = np.random.default_rng(3)
    found = idle_level(lambda: lambda in_v: in_v + 1e-3 * generator.standard_normal(len(in_v)), RATE_HZ)
    assert found.rms_v == pytest.approx(1e-3, rel=0.01) and found.seconds == 2.0
    assert "silent" in idle_level(always(lambda in_v: in_v), RATE_HZ).remarks[0]


def test_a_player_that_loses_frames_is_a_mistake() -> None:
    with pytest.raises(ValueError, match="frames"):
        played(always(lambda in_v: in_v[1:]), np.zeros(100))
