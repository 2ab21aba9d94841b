"""Pitch of tones that move by a known law."""

import numpy as np
import pytest

from pedalwright.formulas.modulation import cents, sine_sweep_down_cents, sine_sweep_up_cents
from pedalwright.sound.measure.pitch import pitch_deviation

RATE_HZ = 48_000.0
TIME_S = np.arange(round(2 * RATE_HZ)) / RATE_HZ


@pytest.mark.parametrize(("rate_hz", "deviation_s"), [(0.8, 2e-3), (5.0, 1e-3), (6.0, 1e-4)])
def test_a_delay_that_moves_as_a_sine(rate_hz: float, deviation_s: float) -> None:
    """Doppler: f'/f = 1 - d tau/dt."""
    late_s = 5e-3 + deviation_s * np.sin(2 * np.pi * rate_hz * TIME_S)
    found = pitch_deviation(np.sin(2 * np.pi * 440 * (TIME_S - late_s)), RATE_HZ, tone_hz=440.0)
    assert found.highest_cents == pytest.approx(sine_sweep_up_cents(rate_hz, deviation_s), rel=3e-3)
    assert found.lowest_cents == pytest.approx(sine_sweep_down_cents(rate_hz, deviation_s), rel=3e-3)
    slope = 2 * np.pi * rate_hz * deviation_s * np.cos(2 * np.pi * rate_hz * found.time_s)
    law = 1200 * np.log2(1 - slope)
    off = np.abs(found.deviation_cents - law)[found.valid]
    assert off.max() < 0.05 + 2e-3 * np.abs(law).max() and found.remarks == ()


def test_a_steady_tone_out_of_tune_and_its_own_reference() -> None:
    sharp = np.sin(2 * np.pi * 446 * TIME_S)
    against = pitch_deviation(sharp, RATE_HZ, tone_hz=440.0)
    assert against.mean_cents == pytest.approx(cents(446 / 440), abs=1e-3)
    assert pitch_deviation(sharp, RATE_HZ).mean_cents == pytest.approx(0, abs=1e-3)


def test_cancelled_moments_are_not_believed() -> None:
    both = np.sin(2 * np.pi * 440 * TIME_S) + np.sin(2 * np.pi * 441.3 * TIME_S)
    found = pitch_deviation(both, RATE_HZ, tone_hz=440.0)
    assert not found.valid.all() and "cancelled" in found.remarks[0]
    assert found.highest_cents is not None and found.highest_cents < 10


def test_what_has_no_pitch_says_so() -> None:
    assert "silent" in pitch_deviation(np.zeros(9600), RATE_HZ, tone_hz=440.0).remarks[0]
    assert "short" in pitch_deviation(np.sin(TIME_S[:1000] * 2700), RATE_HZ).remarks[0]
    half = np.where(TIME_S < 0.5, np.sin(2 * np.pi * 440 * TIME_S), 1e-7 * np.sin(2 * np.pi * 440 * TIME_S))
    assert pitch_deviation(half, RATE_HZ, tone_hz=440.0).valid.mean() < 1
