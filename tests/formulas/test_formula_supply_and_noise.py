"""Supply, heat, tolerance, noise and weighting against book examples, sheets and printed tables."""

import math

import numpy as np
import pytest
from scipy.integrate import quad

from pedalwright.formulas import heat, noise, supply, tolerance, weighting


def test_reservoirs() -> None:
    assert supply.ripple_peak_to_peak_v(load_a=0.1, ripple_hz=100.0, farads=1e-3) == pytest.approx(1.0)
    # Coughlin, example 16.4: 5 V peak to peak with 5 ms discharge; 1.43 V rms as pp/3.5.
    pp = supply.ripple_peak_to_peak_v(load_a=1.0, ripple_hz=200.0, farads=1e-3)
    assert pp == pytest.approx(5.0) and supply.sawtooth_rms_v(pp) == pytest.approx(1.43, abs=0.02)
    # Boylestad, example 15.3: 50 mA, 100 uF at 60 Hz full-wave, printed 1.2 V.
    pp = supply.ripple_peak_to_peak_v(load_a=50e-3, ripple_hz=120.0, farads=100e-6)
    assert supply.sawtooth_rms_v(pp) == pytest.approx(1.20281, abs=1e-5)
    assert 30 - pp / 2 == pytest.approx(27.9, abs=0.05)


def test_regulation_and_droppers() -> None:
    # Boylestad, examples 15.2, 15.6, 15.7; Coughlin, example 16.3 (41.67, not 41).
    assert supply.load_regulation(60, 56) == pytest.approx(0.0714, abs=5e-5)
    assert supply.load_regulation(34, 24) == pytest.approx(0.4167, abs=5e-5)
    assert supply.dropper_output_v(supply_v=60, series_ohms=120, load_ohms=1e3) == pytest.approx(
        53.571, abs=5e-4
    )
    assert supply.dropper_output_v(supply_v=150, series_ohms=500, load_ohms=5e3) == pytest.approx(
        136.4, abs=0.05
    )
    ripple = supply.ripple_ratio(120.0, series_ohms=500.0, farads=10e-6, load_ohms=5e3)
    exact = abs(
        1 / (1 / 5e3 + 2j * math.pi * 120 * 10e-6) / (500 + 1 / (1 / 5e3 + 2j * math.pi * 120 * 10e-6))
    )
    assert ripple == pytest.approx(exact) and 15 * ripple == pytest.approx(3.9, abs=0.2)


def test_regulator_heat() -> None:
    watts = supply.regulator_dissipation_w(input_v=9.0, output_v=5.0, load_a=0.03, quiescent_a=3.8e-3)
    assert watts == pytest.approx(0.1542)
    assert heat.rise_k(watts, 65.0) == pytest.approx(10.02, abs=5e-3)
    assert heat.rise_k(watts, 200.0) == pytest.approx(30.84, abs=5e-3)
    assert supply.regulator_minimum_input_v(5.0, 1.7) == pytest.approx(6.7)


def test_transistor_derating_of_the_2n3904_sheet() -> None:
    allowed = {25.0: 0.625, 60.0: 0.450, 150.0: 0.0, 180.0: 0.0}
    for ambient_c, watts in allowed.items():
        got = heat.allowed_w(ambient_c=ambient_c, maximum_c=150.0, k_per_w=200.0)
        assert got == pytest.approx(watts)


@pytest.mark.parametrize(
    ("forward_v", "ohms", "milliamps"),
    [(2.2, 1e3, 6.8), (2.2, 2.2e3, 3.0909), (2.2, 10e3, 0.68), (3.2, 2.9e3, 2.0)],
)
def test_indicators(forward_v: float, ohms: float, milliamps: float) -> None:
    amps = supply.indicator_a(supply_v=9.0, forward_v=forward_v, ohms=ohms)
    assert amps * 1e3 == pytest.approx(milliamps, abs=5e-5)
    assert supply.indicator_ohms(supply_v=9.0, forward_v=forward_v, amps=amps) == pytest.approx(ohms)


def test_indicator_below_its_forward_voltage() -> None:
    assert supply.indicator_a(supply_v=1.5, forward_v=2.2, ohms=1e3) == 0.0
    assert math.isnan(supply.indicator_ohms(supply_v=1.5, forward_v=2.2, amps=1e-3))


def test_electrolytics() -> None:
    assert heat.electrolytic_life_h(rated_h=2000, rated_c=105, ambient_c=45) == 128000
    assert heat.rated_v_needed(9.0) == 11.25


def test_tolerances() -> None:
    spread = tolerance.rc_corner_spread(0.05, 0.10)
    assert (spread.lowest, spread.highest) == pytest.approx((0.865801, 1.169591), abs=1e-6)
    assert tolerance.root_sum_square([0.05, 0.10]) == pytest.approx(0.11180, abs=1e-5)
    half = tolerance.divider_spread(upper_ohms=10e3, lower_ohms=10e3, tolerance=0.05)
    assert (half.lowest, half.highest) == pytest.approx((0.475, 0.525), rel=1e-12)
    unlike = tolerance.divider_spread(upper_ohms=33e3, lower_ohms=10e3, tolerance=0.1)
    assert (unlike.lowest, unlike.highest) == pytest.approx((9 / 45.3, 11 / 40.7), rel=1e-12)
    assert tolerance.common_mode_rejection_db(1.0, 0.01) == pytest.approx(33.979, abs=5e-4)
    assert tolerance.common_mode_rejection_db(10.0, 0.01) == pytest.approx(48.787, abs=5e-4)


@pytest.mark.parametrize(
    ("ohms", "kelvin", "nanovolts"),
    [
        (50, 290, 0.8949), (1e3, 290, 4.0019), (1e3, 298.15, 4.0578), (1e3, 300, 4.0704),
        (4.7e3, 300, 8.8243),
        (10e3, 300, 12.8716), (100e3, 300, 40.7035), (1e6, 300, 128.7159),
    ],
)  # fmt: skip
def test_thermal_noise(ohms: float, kelvin: float, nanovolts: float) -> None:
    assert noise.thermal_v_per_rthz(ohms, kelvin) * 1e9 == pytest.approx(nanovolts, abs=5e-5)


def test_noise_examples_of_franco() -> None:
    # Franco, 3rd ed., examples 7.1 (0.77, 2.92, 20.0 uV), 7.4 (12.8 nV, 1.81 uV, 298 K), 7.5 (64.9, 34.9 dB).
    for low, high, microvolts in [(0.1, 100.0, 0.76979), (20.0, 20e3, 2.92312), (0.1, 1e6, 20.0322)]:
        total = noise.total_rms(20e-9, low_hz=low, high_hz=high, corner_hz=200.0)
        assert total * 1e6 == pytest.approx(microvolts, rel=5e-6)
    density = noise.thermal_v_per_rthz(10e3, 298.0)
    assert density * 1e9 == pytest.approx(12.8, abs=0.05)
    assert noise.total_rms(density, low_hz=20.0, high_hz=20e3) * 1e6 == pytest.approx(1.81, abs=5e-3)
    for amps, snr_db in [(1e-6, 64.9426), (1e-9, 34.9426)]:
        shot = noise.total_rms(noise.shot_a_per_rthz(amps), low_hz=1e-9, high_hz=1e6)
        assert 20 * math.log10(amps / shot) == pytest.approx(snr_db, abs=5e-3)


@pytest.mark.parametrize(
    ("volts", "amps", "r1", "r2", "nanovolts"),
    [
        (5e-9, 0.7e-12, 10e3, 100e3, 161.708), (5e-9, 0.7e-12, 1e3, 10e3, 69.975),
        (5e-9, 0.7e-12, 22e3, 22e3, 32.652), (18e-9, 0.01e-12, 10e3, 100e3, 239.645),
        (18e-9, 0.01e-12, 1e3, 10e3, 202.550), (28e-9, 0.6e-15, 22e3, 22e3, 62.169),
        (40e-9, 0.0, 10e3, 100e3, 460.244),
    ],
)  # fmt: skip
def test_inverting_stage_noise(volts: float, amps: float, r1: float, r2: float, nanovolts: float) -> None:
    """The general form of SBOS450B with en and in of common amplifiers, 300 K."""
    density = noise.inverting_output_v_per_rthz(
        input_ohms=r1, feedback_ohms=r2, amplifier_v_per_rthz=volts, amplifier_a_per_rthz=amps
    )
    assert density * 1e9 == pytest.approx(nanovolts, abs=6e-4)


def test_inverting_stage_noise_of_franco() -> None:
    # Franco, 3rd ed., example 7.7: resistors alone give 102.1453 uV in 1.57 times 333.3 kHz.
    density = noise.inverting_output_v_per_rthz(
        input_ohms=100e3, feedback_ohms=200e3, plus_ohms=68e3,
        amplifier_v_per_rthz=0.0, amplifier_a_per_rthz=0.0, kelvin=298.0,
    )  # fmt: skip
    assert density * math.sqrt(1.57 * 1e6 / 3) * 1e6 == pytest.approx(102.1453, rel=1e-3)


@pytest.mark.parametrize(
    ("volts", "amps", "source_ohms", "nanovolts"),
    [
        (5e-9, 0.7e-12, 10e3, 175.706), (18e-9, 0.01e-12, 10e3, 247.133), (5e-9, 0.7e-12, 100e3, 893.458),
        (18e-9, 0.01e-12, 100e3, 491.546),
    ],
)  # fmt: skip
def test_non_inverting_stage_noise(volts: float, amps: float, source_ohms: float, nanovolts: float) -> None:
    density = noise.non_inverting_output_v_per_rthz(
        ground_ohms=1e3, feedback_ohms=10e3, source_ohms=source_ohms,
        amplifier_v_per_rthz=volts, amplifier_a_per_rthz=amps,
    )  # fmt: skip
    assert density * 1e9 == pytest.approx(nanovolts, abs=6e-4)


@pytest.mark.parametrize("order", [1, 2, 3, 4, 5, 6])
def test_noise_bandwidths_by_integration(order: int) -> None:
    area, _ = quad(lambda x: 1 / (1 + x ** (2 * order)), 0, np.inf)
    assert noise.butterworth_bandwidth_ratio(order) == pytest.approx(area, rel=1e-8)
    q = 0.4 * order
    low, _ = quad(lambda x: 1 / abs(1 - x * x + 1j * x / q) ** 2, 0, np.inf, limit=200)
    band, _ = quad(lambda x: (x / q) ** 2 / abs(1 - x * x + 1j * x / q) ** 2, 0, np.inf, limit=200)
    assert noise.two_pole_low_pass_bandwidth_hz(1.0, q) == pytest.approx(low, rel=1e-6)
    assert noise.two_pole_band_pass_bandwidth_hz(1.0, q) == pytest.approx(band, rel=1e-6)


def test_noise_of_a_capacitor_is_that_of_any_resistor_across_it() -> None:
    for ohms in (1e3, 470e3):
        bandwidth = math.pi / 2 / (2 * math.pi * ohms * 2.2e-9)
        total = noise.thermal_v_per_rthz(ohms) * math.sqrt(bandwidth)
        assert noise.capacitor_rms_v(2.2e-9) == pytest.approx(total, rel=1e-12)


PRINTED_A = (
    -70.4, -63.4, -56.7, -50.5, -44.7, -39.4, -34.6, -30.2, -26.2, -22.5, -19.1, -16.1, -13.4, -10.9, -8.6,
    -6.6, -4.8, -3.2, -1.9, -0.8, 0.0, 0.6, 1.0, 1.2, 1.3, 1.2, 1.0, 0.5, -0.1, -1.1, -2.5, -4.3, -6.6, -9.3,
)  # fmt: skip
"""IEC 61672-1, table of the A curve from 10 Hz to 20 kHz in third octaves, read in a reproduction."""


@pytest.mark.parametrize(("step", "printed_db"), list(enumerate(PRINTED_A)))
def test_a_weighting_table(step: int, printed_db: float) -> None:
    exact_hz = 1000 * 10 ** ((step - 20) / 10)
    assert weighting.a_weighting_db(exact_hz) == pytest.approx(printed_db, abs=0.0501)


def test_a_weighted_noise_bandwidth() -> None:
    hertz = np.geomspace(1.0, 1e7, 400001)
    power = np.asarray(weighting.a_weighting_ratio(hertz)) ** 2  # type: ignore[arg-type]
    assert np.trapezoid(power, hertz) == pytest.approx(weighting.NOISE_BANDWIDTH_HZ, rel=1e-4)
    audio = (hertz >= 20) & (hertz <= 20e3)
    assert np.trapezoid(power[audio], hertz[audio]) == pytest.approx(12467.18, rel=1e-4)
