"""Oscillations made by hand and by a differential equation SciPy solves."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, signal

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.measure.oscillation import oscillation

RATE_HZ = 48_000.0
TIME_S = np.arange(round(8 * RATE_HZ)) / RATE_HZ


@settings(max_examples=10, deadline=None)
@given(st.floats(1.5, 400.0), st.floats(0.01, 3.0), st.floats(-2.0, 5.0))
def test_a_sine_that_starts_slowly(tone_hz: float, peak_v: float, rest_v: float) -> None:
    grown = 1 - np.exp(-TIME_S / 0.3)
    found = oscillation(rest_v + peak_v * grown * np.sin(2 * np.pi * tone_hz * TIME_S), RATE_HZ)
    assert found.settled and found.remarks == ()
    assert found.frequency_hz == pytest.approx(tone_hz, rel=1e-5)
    assert found.tone_peak_v == pytest.approx(peak_v, rel=2e-4)
    assert found.swing_v == pytest.approx(2 * peak_v, rel=2e-3)
    # Nine tenths are reached after 0.3 ln 10 s; the answer is a whole period, its peak between frames.
    assert found.start_s == pytest.approx(0.3 * math.log(10), abs=1.5 / tone_hz + 2e-3)


def test_triangle_and_square() -> None:
    # Fundamentals 8/pi^2 and 4/pi of the peak, from their Fourier series.
    for shape_v, share in (
        (signal.sawtooth(2 * np.pi * 2.37 * TIME_S, 0.5), 8 / math.pi**2),
        (signal.square(2 * np.pi * 2.37 * TIME_S), 4 / math.pi),
    ):
        found = oscillation(2.5 + 1.2 * shape_v, RATE_HZ)
        assert found.frequency_hz == pytest.approx(2.37, rel=1e-5)
        assert found.tone_peak_v == pytest.approx(1.2 * share, rel=1e-3)
        assert (found.lowest_v, found.highest_v) == pytest.approx((1.3, 3.7), rel=1e-4)


def test_a_van_der_pol_oscillator_that_starts_by_itself() -> None:
    """Period 6.6633 and amplitude 2.0086 for mu = 1 (tables of the equation, from memory)."""

    def slopes(_: float, state: FloatArray) -> list[float]:
        return [state[1], (1 - state[0] ** 2) * state[1] - state[0]]

    rate_hz = 100.0
    times = np.arange(0, 200, 1 / rate_hz)
    solved = integrate.solve_ivp(slopes, (0, 200), [1e-3, 0.0], t_eval=times, rtol=1e-9, atol=1e-12)
    found = oscillation(solved.y[0], rate_hz)
    assert found.settled and found.frequency_hz == pytest.approx(1 / 6.6633, rel=1e-4)
    assert found.highest_v == pytest.approx(2.0086, rel=1e-3)
    # From 1 mV it grows as exp(t/2): to about its full size in 2 ln 2000 = 15 s.
    assert found.start_s == pytest.approx(15, abs=7)


@pytest.mark.parametrize(
    ("signal_v", "word"),
    [
        (np.full(48_000, 2.5), "silent"),
        (np.random.default_rng(1).standard_normal(48_000), "no regular"),
        (np.sin(2 * np.pi * 0.3 * TIME_S), "too slow or too short"),
        (np.zeros(3), "short"),
    ],
)
def test_no_frequency_where_there_is_none(signal_v: FloatArray, word: str) -> None:
    found = oscillation(signal_v, RATE_HZ)
    assert found.frequency_hz is None and not found.settled and word in found.remarks[0]


def test_one_that_dies_away_or_slows_down_has_not_settled() -> None:
    dying = oscillation(np.exp(-TIME_S) * np.sin(2 * np.pi * 5 * TIME_S), RATE_HZ)
    assert not dying.settled and "dies away" in dying.remarks
    slowing = oscillation(np.sin(2 * np.pi * 20 * TIME_S * (1 - 0.02 * TIME_S)), RATE_HZ)
    assert not slowing.settled and any("period" in remark for remark in slowing.remarks)
