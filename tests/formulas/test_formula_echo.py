"""Echo, modulation, delta modulation and tapers against published figures."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pedalwright.formulas import delta_modulation, echo, modulation, taper


@pytest.mark.parametrize(
    ("delay_s", "loop_gain", "seconds"),
    [
        (0.1, 0.708, 2.000444),  # Schroeder's own choice, retold by J. O. Smith: 2 s
        (0.1, 0.7, 1.936709), (0.3, 0.5, 2.989735), (0.4, 0.6, 5.409091), (0.25, 0.9, 16.390759),
    ],
)  # fmt: skip
def test_decay(delay_s: float, loop_gain: float, seconds: float) -> None:
    assert echo.decay_s(delay_s, loop_gain) == pytest.approx(seconds, abs=6e-7)
    assert echo.loop_gain_for_decay(delay_s, seconds) == pytest.approx(loop_gain, rel=1e-6)


@pytest.mark.parametrize(
    ("delay_ms", "decay_s", "loop_gain"),
    [
        (29.7, 1.5, 0.872168), (37.1, 1.5, 0.842946), (41.1, 1.5, 0.827561), (43.7, 1.5, 0.817711),
        (29.7, 2.0, 0.902506), (43.7, 2.0, 0.859904), (100.0, 2.0, 0.707946), (300.0, 2.0, 0.354813),
    ],
)  # fmt: skip
def test_gain_for_a_decay(delay_ms: float, decay_s: float, loop_gain: float) -> None:
    assert echo.loop_gain_for_decay(delay_ms * 1e-3, decay_s) == pytest.approx(loop_gain, abs=6e-7)


@pytest.mark.parametrize(
    ("loop_gain", "repeats", "whole"),
    [
        (0.1, 3.000, 3), (0.2, 4.292, 5), (0.3, 5.737, 6), (0.4, 7.539, 8), (0.5, 9.966, 10),
        (0.6, 13.523, 14),
        (0.7, 19.367, 20), (0.8, 30.957, 31), (0.9, 65.563, 66), (0.95, 134.672, 135),
    ],
)  # fmt: skip
def test_repeats_to_silence(loop_gain: float, repeats: float, whole: int) -> None:
    assert echo.repeats_to_silence(loop_gain) == pytest.approx(repeats, abs=6e-4)
    assert echo.whole_repeats_to_silence(loop_gain) == whole


@pytest.mark.parametrize("loop_gain", [1.0, 1.3, 0.0, -0.5])
def test_a_loop_that_does_not_decay_has_no_decay_time(loop_gain: float) -> None:
    assert math.isnan(echo.decay_s(0.3, loop_gain)) and math.isnan(echo.repeats_to_silence(loop_gain))
    with pytest.raises(ValueError, match="NaN"):
        echo.whole_repeats_to_silence(loop_gain)


def test_decay_of_many_gains_at_once() -> None:
    seconds = echo.decay_s(0.3, np.array([0.5, 0.9, 1.0]))  # type: ignore[arg-type]
    np.testing.assert_allclose(np.asarray(seconds)[:2], [2.989735285, 19.668910789], rtol=1e-9)
    assert np.isnan(np.asarray(seconds)[2])


@pytest.mark.parametrize(
    ("loop_gain", "peak_db", "dip_db"),
    [(0.3, 3.0980, -2.2789), (0.5, 6.0206, -3.5218), (0.7, 10.4576, -4.6090), (0.9, 20.0, -5.5751)],
)
def test_comb(loop_gain: float, peak_db: float, dip_db: float) -> None:
    assert echo.comb_peak_db(loop_gain) == pytest.approx(peak_db, abs=6e-5)
    assert echo.comb_dip_db(loop_gain) == pytest.approx(dip_db, abs=6e-5)
    hertz = np.linspace(0, 20, 4001)
    s = 2j * np.pi * hertz.astype(complex)
    sizes = np.abs(echo.comb_response(s, delay_s=0.1, loop_gain=loop_gain))
    assert 20 * math.log10(sizes.max()) == pytest.approx(peak_db, abs=1e-4)
    assert 20 * math.log10(sizes.min()) == pytest.approx(dip_db, abs=1e-4)
    assert hertz[int(np.argmin(sizes))] % 10 == pytest.approx(5.0)


def test_dry_and_delayed() -> None:
    assert echo.mixed_notches_hz(1e-3, 3) == pytest.approx((500, 1500, 2500))
    assert echo.mixed_notches_hz(5e-3, 3) == pytest.approx((100, 300, 500))
    for wet, notch_db, peak_db in [(0.5, -6.0206, 3.5218), (0.7, -10.4576, 4.6090), (0.9, -20.0, 5.5751)]:
        assert echo.mixed_notch_db(wet) == pytest.approx(notch_db, abs=6e-5)
        assert echo.mixed_peak_db(wet) == pytest.approx(peak_db, abs=6e-5)
    assert echo.stability_margin_db(1.2) < 0 < echo.stability_margin_db(0.8)


@pytest.mark.parametrize(
    ("rate_hz", "deviation_ms", "up", "down"),
    [
        (1.0, 1.0, 10.8436, -10.9120), (0.5, 2.0, 10.8436, -10.9120), (5.0, 1.0, 53.5515, -55.2610),
        (6.0, 0.5, 32.3292, -32.9445), (2.0, 3.0, 64.0658, -66.5280),
    ],
)  # fmt: skip
def test_sine_sweep(rate_hz: float, deviation_ms: float, up: float, down: float) -> None:
    assert modulation.sine_sweep_up_cents(rate_hz, deviation_ms * 1e-3) == pytest.approx(up, abs=6e-5)
    assert modulation.sine_sweep_down_cents(rate_hz, deviation_ms * 1e-3) == pytest.approx(down, abs=6e-5)


def test_deviation_for_an_interval_and_triangle() -> None:
    assert modulation.sine_deviation_s(10.0, 1.0) == pytest.approx(0.921975e-3, rel=1e-6)
    assert modulation.sine_deviation_s(10.0, 5.0) == pytest.approx(0.184395e-3, rel=1e-5)
    assert modulation.triangle_sweep_cents(1.0, 1e-3) == pytest.approx(6.9111, abs=6e-5)
    assert modulation.triangle_sweep_cents(1.0, 1e-3, rising=True) < -6.9111
    assert math.isnan(modulation.sine_sweep_down_cents(100.0, 10e-3))


def test_delta_modulation() -> None:
    # Haykin, example 5.5: -5.17 dB. Sharma: step 1.07 V.
    figure = delta_modulation.best_snr_db
    assert figure(sample_hz=8e3, frequency_hz=4e3, band_hz=4e3) == pytest.approx(-5.1718, abs=5e-5)
    assert delta_modulation.step_at_slope_limit(
        peak=1.0, frequency_hz=3.4e3, sample_hz=20e3
    ) == pytest.approx(1.07, abs=5e-3)
    expected = {16e3: 18.54, 32e3: 27.58, 64e3: 36.61, 128e3: 45.64, 256e3: 54.67, 512e3: 63.70}
    for sample_hz, snr_db in expected.items():
        got = figure(sample_hz=sample_hz, frequency_hz=800.0, band_hz=3.4e3)
        assert got == pytest.approx(snr_db, abs=5.1e-3)
    assert figure(sample_hz=64e3, frequency_hz=1e3, band_hz=10e3) == pytest.approx(29.98, abs=5.1e-3)


@pytest.mark.parametrize(
    ("percent", "at_middle"), [(5, 0.055), (10, 0.107), (15, 0.157), (20, 0.204), (25, 0.253), (30, 0.303)]
)
def test_maker_laws(percent: int, at_middle: float) -> None:
    """Holmes and van Walstijn, DAFx-19: the code's number is the percentage at mid-turn, nearly."""
    assert taper.maker_audio(0.5, percent) == pytest.approx(at_middle, abs=6e-4)
    assert taper.maker_audio(0.3, percent) == taper.MAKER_FRACTIONS[percent][1]
    assert (taper.maker_audio(0.0, percent), taper.maker_audio(1.0, percent)) == (0.0, 1.0)


@pytest.mark.parametrize("middle", [0.05, 0.10, 0.15, 0.20, 0.25, 0.30, 0.5])
def test_one_parameter_law(middle: float) -> None:
    assert taper.audio(0.5, middle) == pytest.approx(middle)
    assert taper.two_segments(0.5, middle) == pytest.approx(middle)
    assert taper.reverse_audio(0.5, middle) == pytest.approx(1 - middle)
    assert (taper.audio(0.0, middle), taper.audio(1.0, middle)) == pytest.approx((0.0, 1.0))


def test_bases_of_the_one_parameter_law() -> None:
    # y(1/4) = (sqrt(sqrt a) - 1)/(a - 1) for a = 81 and 361.
    assert taper.audio(0.25, 0.10) == pytest.approx((3 - 1) / 80)
    assert taper.audio(0.25, 0.05) == pytest.approx((math.sqrt(19) - 1) / 360)


def test_measured_audio_tracks_lie_near_fifteen_percent() -> None:
    """Three 100k audio tracks measured for the same paper: 16.81, 16.19, 15.09 % at mid-turn."""
    for ohms, total in [(16500, 98200), (13501, 83410), (15156, 100490)]:
        assert ohms / total == pytest.approx(taper.audio(0.5), abs=0.02)


@given(turn=st.floats(0, 1), middle=st.floats(0.02, 0.6))
def test_laws_stay_on_the_track_and_turn_back(turn: float, middle: float) -> None:
    fraction = taper.audio(turn, middle)
    assert -1e-12 <= fraction <= 1 + 1e-12
    assert taper.reverse_audio(1 - turn, middle) == pytest.approx(1 - fraction, abs=1e-12)
    assert taper.turn_for(min(max(fraction, 0.0), 1.0), middle) == pytest.approx(turn, abs=1e-9)


@pytest.mark.parametrize("turn", [-0.01, 1.01, math.nan])
def test_no_fraction_off_the_track(turn: float) -> None:
    for law in (taper.linear, taper.audio, taper.reverse_audio, taper.two_segments, taper.maker_audio):
        assert math.isnan(law(turn))


def test_laws_take_arrays() -> None:
    turns = np.array([0.0, 0.5, 1.0, 2.0])
    np.testing.assert_allclose(taper.audio(turns, 0.1), [0.0, 0.1, 1.0, math.nan])  # type: ignore[arg-type]
