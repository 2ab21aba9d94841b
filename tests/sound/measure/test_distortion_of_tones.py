"""Harmonics, THD, THD+N and SINAD against closed forms."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, signal

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.measure.distortion import Distortion, distortion
from pedalwright.sound.measure.distortion_of import distortion_of
from pedalwright.sound.measure.settling import Patience
from pedalwright.sound.measure.signals import Play, always

RATE_HZ = 48_000.0


def rms_of(found: Distortion) -> dict[int, float]:
    return {harmonic.order: harmonic.rms_v for harmonic in found.harmonics}


def clipper(limit_v: float) -> Play:
    return lambda in_v: np.clip(in_v, -limit_v, limit_v)


@settings(max_examples=20)
@given(st.floats(-0.3, 0.3), st.floats(-0.2, 0.2), st.floats(1e-3, 1.0), st.floats(50.0, 5000.0))
def test_a_square_and_a_cube(a2: float, a3: float, peak_v: float, tone_hz: float) -> None:
    """sin^2 = (1 - cos 2x)/2, sin^3 = (3 sin x - sin 3x)/4."""
    found = distortion(
        always(lambda v: v + a2 * v**2 + a3 * v**3), RATE_HZ, input_peak_v=peak_v, tone_hz=tone_hz
    )
    first = peak_v + 0.75 * a3 * peak_v**3
    second, third = abs(a2) * peak_v**2 / 2, abs(a3) * peak_v**3 / 4
    assert found.tone_rms_v == pytest.approx(first / math.sqrt(2), rel=1e-9)
    assert found.dc_v == pytest.approx(a2 * peak_v**2 / 2, abs=1e-10 * peak_v)
    if math.hypot(second, third) > 1e-9 * first:
        assert found.thd_ratio == pytest.approx(math.hypot(second, third) / first, rel=1e-4)
        assert found.thd_n_ratio == pytest.approx(found.thd_of_total_ratio, rel=1e-4)
    for harmonic in found.harmonics:
        turned = {1: 0.0, 2: -90.0 if a2 > 0 else 90.0, 3: 180.0 if a3 > 0 else 0.0}[harmonic.order]
        if harmonic.level_db > -160:
            assert math.cos(math.radians(harmonic.phase_deg - turned)) > 0.99999


def test_levels_and_sums_of_a_known_mixture() -> None:
    found = distortion(always(lambda v: v + 0.1 * v**2), RATE_HZ, input_peak_v=1.0)
    assert found.thd_ratio == pytest.approx(0.05, rel=1e-9)
    # IEC 60268-3 counts against the total output, so the figure is smaller.
    assert found.thd_of_total_ratio == pytest.approx(0.05 / math.sqrt(1 + 0.05**2), rel=1e-9)
    assert found.sinad_db == pytest.approx(-20 * math.log10(0.05), rel=1e-9)
    assert found.gain_db == pytest.approx(0.0, abs=1e-9)
    assert found.harmonics[1].level_db == pytest.approx(20 * math.log10(0.05), abs=1e-7)
    assert abs(found.conditions.tone_hz - 1000) < 2 and found.conditions.band_hz == (20.0, 20e3)


@pytest.mark.parametrize("limit_v", [0.9, 0.5, 0.1])
def test_the_fourier_series_of_a_clipped_sine(limit_v: float) -> None:
    found = distortion(always(clipper(limit_v)), RATE_HZ, input_peak_v=1.0, tone_hz=440.0)
    corner = math.asin(limit_v)

    def series(order: int) -> float:
        def wave(x: float) -> float:
            return min(math.sin(x), limit_v) * math.sin(order * x)

        return float(4 / math.pi * integrate.quad(wave, 0, math.pi / 2, points=[corner], epsabs=1e-12)[0])

    assert set(rms_of(found)) <= {1, 3, 5, 7, 9}
    for order, rms_v in rms_of(found).items():
        assert rms_v == pytest.approx(abs(series(order)) / math.sqrt(2), abs=2e-6)
    whole = math.sqrt(sum(series(order) ** 2 for order in range(3, 46, 2)))
    assert found.thd_ratio == pytest.approx(whole / series(1), rel=1e-4)
    assert any("clipped" in remark for remark in found.remarks)


def test_a_square_wave_up_to_the_band_limit() -> None:
    found = distortion(always(np.sign), RATE_HZ, input_peak_v=1.0, tone_hz=100.0)
    orders = np.arange(3, 20_000 / found.conditions.tone_hz, 2)
    assert found.thd_ratio == pytest.approx(math.sqrt((1 / orders**2).sum()), rel=5e-3)
    assert found.harmonics[1].level_db == pytest.approx(-20 * math.log10(3), abs=0.01)


def test_noise_counts_in_thd_plus_noise_only() -> None:
    generator = np.random.default_rng(1)

    def hissing(in_v: FloatArray) -> FloatArray:
        return in_v + 0.01 * in_v**2 + 1e-3 * generator.standard_normal(len(in_v))

    found = distortion(always(hissing), RATE_HZ, input_peak_v=1.0)
    noise_v = 1e-3 * math.sqrt((20e3 - 20) / 24e3)
    assert found.noise_rms_v == pytest.approx(noise_v, rel=0.03)
    assert found.thd_ratio == pytest.approx(0.005, rel=0.02)
    assert found.thd_n_ratio == pytest.approx(math.hypot(noise_v * math.sqrt(2), 0.005), rel=0.02)
    assert [harmonic.order for harmonic in found.harmonics] == [1, 2]


def test_harmonics_below_the_noise_are_an_upper_limit() -> None:
    generator = np.random.default_rng(2)
    found = distortion(
        always(lambda v: v + 0.01 * generator.standard_normal(len(v))), RATE_HZ, input_peak_v=1.0
    )
    assert len(found.harmonics) == 1 and "at most" in found.remarks[0]


def test_latency_moves_no_phase() -> None:
    here = distortion(always(clipper(0.5)), RATE_HZ, input_peak_v=1.0)
    late = distortion(
        always(lambda v: np.concatenate((np.zeros(37), clipper(0.5)(v)[:-37]))), RATE_HZ, input_peak_v=1.0
    )
    for one, other in zip(here.harmonics, late.harmonics, strict=True):
        assert math.cos(math.radians(one.phase_deg - other.phase_deg)) > 1 - 1e-9


def test_waits_until_a_slow_circuit_has_settled() -> None:
    rest = signal.butter(1, 0.5, "high", fs=RATE_HZ)

    def slow(in_v: FloatArray) -> FloatArray:
        return np.asarray(signal.lfilter(*rest, in_v + 0.1 * in_v**2))

    found = distortion(always(slow), RATE_HZ, input_peak_v=1.0)
    assert found.conditions.settled_after_s > 2.0
    assert found.thd_ratio == pytest.approx(0.05, rel=1e-4) and found.remarks == ()
    hasty = distortion(always(slow), RATE_HZ, input_peak_v=1.0, patience=Patience(most_s=1.0))
    assert hasty.thd_ratio is None and "did not settle" in hasty.remarks[0]


@pytest.mark.parametrize(
    ("play", "word"),
    [
        (lambda v: v * np.linspace(1, 2, len(v)), "did not settle"),
        (lambda v: 0 * v, "silent"),
        (lambda v: v * np.nan, "not numbers"),
        (lambda v: np.roll(v, 1) * 1e-9 + np.sin(np.arange(len(v)) * 1.234567), "lost"),
    ],
)
def test_no_figure_where_none_can_be_given(play: Play, word: str) -> None:
    found = distortion(always(play), RATE_HZ, input_peak_v=1.0)
    assert found.thd_ratio is None and found.thd_n_ratio is None and found.sinad_db is None
    assert word in found.remarks[0]


def test_a_clean_wire_is_below_what_can_be_shown() -> None:
    found = distortion(always(lambda v: 0.5 * v), RATE_HZ, input_peak_v=1.0)
    assert found.thd_ratio is None and "below what the arithmetic" in found.remarks[0]
    assert found.gain_db == pytest.approx(20 * math.log10(0.5), abs=1e-9)


@settings(max_examples=6, deadline=None)
@given(st.floats(200.0, 3000.0), st.floats(0.0, 6.0), st.floats(-3.0, 3.0))
def test_a_finished_signal_of_any_frequency(tone_hz: float, start: float, turned: float) -> None:
    angle = 2 * np.pi * tone_hz * np.arange(16_000) / RATE_HZ + start
    signal_v = 0.2 + np.sin(angle) + 0.01 * np.sin(2 * angle + turned) + 0.003 * np.sin(3 * angle)
    found = distortion_of(signal_v, RATE_HZ)
    assert found.conditions.tone_hz == pytest.approx(tone_hz, rel=1e-9)
    assert found.thd_ratio == pytest.approx(math.hypot(0.01, 0.003), rel=1e-6)
    assert found.harmonics[1].phase_deg == pytest.approx(math.degrees(turned), abs=1e-3)
    assert found.dc_v == pytest.approx(0.2, rel=1e-6)


def test_a_finished_signal_that_holds_no_steady_tone_says_so() -> None:
    assert "short" in distortion_of(np.ones(10), RATE_HZ).remarks[0]
    time_s = np.arange(24_000) / RATE_HZ
    dying = np.exp(-3 * time_s) * np.sin(2 * np.pi * 500 * time_s)
    assert any("not steady" in remark for remark in distortion_of(dying, RATE_HZ).remarks)
    few = distortion_of(np.sin(2 * np.pi * 30 * time_s[:4800]), RATE_HZ)
    assert few.thd_ratio is None and few.remarks
