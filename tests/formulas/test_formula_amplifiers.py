"""Amplifier stages, oscillators, gyrators and all-passes against handbook examples."""

import cmath
import math
from collections.abc import Callable

import numpy as np
import pytest

from pedalwright.formulas import all_pass, amplifier, divider, gyrator, oscillator, rc


def test_summing_and_averaging() -> None:
    # Coughlin, examples 3.8 and 3.9; Floyd, example 13.7; Gayakwad, examples 6.4 and 6.5.
    equal = 10e3
    assert amplifier.summing_output_v(equal, [(2, equal), (3, equal), (1, equal)]) == pytest.approx(-6)
    assert amplifier.summing_output_v(equal, [(2, equal), (3, equal), (-1, equal)]) == pytest.approx(-4)
    assert amplifier.summing_output_v(10e3, [(3, 47e3), (2, 100e3), (8, 10e3)]) == pytest.approx(
        -8.838, abs=5e-4
    )
    assert amplifier.summing_output_v(1e3, [(1, 3e3), (2, 3e3), (3, 3e3)]) == pytest.approx(-2.0)
    assert amplifier.averaging_output_v(1.0, [(2, 5e3), (-3, 5e3), (4, 5e3)]) == pytest.approx(1.0)
    assert amplifier.averaging_output_v(3.0, [(2, 5e3), (-3, 5e3), (4, 5e3)]) == pytest.approx(3.0)
    assert amplifier.averaging_output_v(1.0, [(2, 10e3), (5, 30e3)]) == pytest.approx(2.75)


@pytest.mark.parametrize(("plus_mv", "minus_mv", "volts"), [(10, 10, 0.0), (10, 0, 1.0), (10, -20, 3.0)])
def test_difference_amplifier(plus_mv: float, minus_mv: float, volts: float) -> None:
    # Coughlin, example 8.1: m = 100.
    plus = amplifier.differential_plus_gain(
        feedback_z=100e3, input_z=1e3, plus_series_z=2e3, plus_ground_z=200e3
    )
    minus = amplifier.inverting_gain(100e3, 1e3)
    assert abs(plus * plus_mv * 1e-3 + minus * minus_mv * 1e-3 - volts) < 1e-12


@pytest.mark.parametrize(
    ("open_loop", "inverting", "non_inverting"),
    [
        (1.0, -0.980392, 0.990099), (10.0, -9.009009, 9.090909), (100.0, -49.751244, 50.0),
        (1e3, -90.826521, 90.909091), (1e4, -99.000099, 99.009901),
    ],
)  # fmt: skip
def test_finite_open_loop_gain(open_loop: float, inverting: float, non_inverting: float) -> None:
    # Coughlin, example 10.5.
    assert amplifier.inverting_gain_with_finite_gain(100.0, open_loop) == pytest.approx(inverting, abs=1e-6)
    got = amplifier.non_inverting_gain_with_finite_gain(100.0, open_loop)
    assert got == pytest.approx(non_inverting, abs=1e-6)


def test_speed_limits() -> None:
    # Coughlin, examples 10.6 to 10.9.
    assert amplifier.bandwidth_hz(1e6, 2.0) == 500e3
    assert amplifier.slew_limited_hz(0.5e6, 10.0) == pytest.approx(7957.75, abs=5e-3)
    assert amplifier.slew_limited_hz(0.5e6, 1.0) == pytest.approx(79577.5, abs=5e-2)
    assert amplifier.slew_limited_peak_v(0.5e6, 500e3) == pytest.approx(0.159155, abs=1e-6)
    assert amplifier.slew_time_s(10.0, 0.5e6) == pytest.approx(20e-6)
    # Power bandwidth printed on a 5532 sheet: 140 kHz for 9 V/us and 10 V.
    assert amplifier.slew_limited_hz(9e6, 10.0) == pytest.approx(143.2e3, rel=1e-3)


def test_integrators_and_differentiator() -> None:
    # Floyd, example 13.8; Gayakwad, example 6.15.
    assert amplifier.integrator_slope_v_per_s(5.0, 10e3, farads=10e-9) == pytest.approx(-50e3)
    assert amplifier.integrator_slope_v_per_s(2.0, 1e6, farads=1e-6) * 4 == pytest.approx(-8.0)
    lossy = amplifier.integrator_response(0j, ohms=10e3, farads=10e-9, leak_ohms=100e3)
    assert complex(lossy) == pytest.approx(-10.0)
    unity = 1591.549431 * math.sqrt(1 - 0.01)
    h = amplifier.integrator_response(2j * math.pi * unity, ohms=10e3, farads=10e-9, leak_ohms=100e3)
    assert abs(h) == pytest.approx(1.0, abs=1e-7)
    # Coughlin, example 5.18: the ideal differentiator gives 8 V, the real network 4 V at its double corner.
    ideal = amplifier.differentiator_response(2000j * math.pi, feedback_ohms=31830.99, input_farads=0.1e-6)
    assert 0.4 * abs(complex(ideal)) == pytest.approx(8.0, rel=1e-6)
    real = {1000.0: 4.000, 100.0: 0.7921}
    for hertz, volts in real.items():
        h = amplifier.differentiator_response(
            2j * math.pi * hertz, feedback_ohms=31830.99, input_farads=0.1e-6, input_ohms=1591.5,
            feedback_farads=5e-9,
        )  # fmt: skip
        assert 0.4 * abs(complex(h)) == pytest.approx(volts, abs=1e-4)


def test_tee_in_the_feedback() -> None:
    # Star-delta: 100k, 100k and 1k act like 10.2 megohm.
    assert amplifier.tee_z(100e3, 100e3, shunt_z=1e3) == pytest.approx(10.2e6)
    assert amplifier.tee_z(47e3, 10e3, shunt_z=2.2e3) == pytest.approx(57e3 + 470e6 / 2.2e3)


def test_rectified_sine() -> None:
    # Coughlin, example 5.3: printed 0.636 and 0.318 of the peak; 0.90 of the root mean square.
    assert amplifier.rectified_average_v(1.0) == pytest.approx(0.636620, abs=1e-6)
    assert amplifier.rectified_average_v(math.sqrt(2)) == pytest.approx(0.900316, abs=1e-6)


def test_coupling_capacitor_sees_the_source() -> None:
    # Gayakwad, example 6.1: 10.61 kHz.
    assert rc.high_pass_corner_hz(farads=0.1e-6, ohms=100.0, source_ohms=50.0) == pytest.approx(
        10610.33, abs=5e-3
    )


def test_all_pass_and_phaser() -> None:
    # Gayakwad, example 7.11; Coughlin, examples 5.13 and 5.14.
    assert all_pass.phase_lag_deg(1000.0, ohms=15.9e3, farads=10e-9) == pytest.approx(89.9442, abs=1e-4)
    assert all_pass.phase_lag_deg(1000.0, ohms=100e3, farads=10e-9) == pytest.approx(161.9139, abs=1e-4)
    assert all_pass.ohms_for_phase(1000.0, farads=10e-9, lag_deg=90.0) == pytest.approx(15915.49, abs=5e-3)
    s = 2j * math.pi * 730.0
    simple = complex(all_pass.response(s, ohms=12e3, farads=22e-9))
    general = all_pass.general_response(
        feedback_z=47e3, input_z=47e3, plus_series_z=12e3, plus_ground_z=1 / (s * 22e-9)
    )
    assert abs(simple) == pytest.approx(1.0) and complex(general) == pytest.approx(simple, rel=1e-12)
    lag = all_pass.phase_lag_deg(730.0, ohms=12e3, farads=22e-9)
    assert math.degrees(-cmath.phase(simple)) == pytest.approx(lag)
    assert all_pass.phaser_notches_hz(4, 1.0) == pytest.approx((0.414214, 2.414214), abs=1e-6)
    assert all_pass.phaser_notches_hz(8, 100.0) == pytest.approx(
        (19.8912, 66.8179, 149.6606, 502.7339), abs=1e-4
    )
    for notch_hz in all_pass.phaser_notches_hz(4, 500.0):
        stage = all_pass.response(2j * math.pi * notch_hz, ohms=1 / (2 * math.pi * 500.0 * 1e-8), farads=1e-8)
        assert abs(complex(1 + stage**4)) < 1e-9


@pytest.mark.parametrize(
    ("hertz", "z"), [(100.0, 1003.908 + 622.011j), (1e3, 1389.299 + 6195.893j), (10e3, 29021.3 + 44597.2j)]
)
def test_gyrator(hertz: float, z: complex) -> None:
    got = gyrator.impedance(2j * math.pi * hertz, line_ohms=1e3, ground_ohms=100e3, farads=10e-9)
    assert complex(got) == pytest.approx(z, rel=2e-6)
    assert gyrator.inductance_h(line_ohms=1e3, ground_ohms=100e3, farads=10e-9) == pytest.approx(0.990)


def ladder_gain(hertz: float, sections: int, *, high_pass: bool) -> complex:
    """Transfer ratio of equal unbuffered sections by chain matrices, 10k and 10 nF."""
    s = 2j * math.pi * hertz
    series, shunt = (1 / (s * 1e-8), 1e-4) if high_pass else (1e4, s * 1e-8)
    one = np.array([[1 + series * shunt, series], [shunt, 1]])
    return complex(1 / np.linalg.matrix_power(one, sections)[0, 0])


@pytest.mark.parametrize(
    ("oscillator_kind", "sections", "high_pass"),
    [
        (oscillator.three_high_pass_sections, 3, True),
        (oscillator.three_low_pass_sections, 3, False),
        (oscillator.four_high_pass_sections, 4, True),
    ],
)
def test_phase_shift_ladders_by_chain_matrices(
    oscillator_kind: Callable[[float, float], oscillator.PhaseShift], sections: int, high_pass: bool
) -> None:
    kind = oscillator_kind(10e3, 10e-9)
    loop = kind.needed_gain * ladder_gain(kind.frequency_hz, sections, high_pass=high_pass)
    assert loop == pytest.approx(1.0, abs=1e-9)


def test_phase_shift_frequencies() -> None:
    # Floyd, example 16.2; Gayakwad, example 7.12 (design value 200 Hz).
    assert oscillator.three_high_pass_sections(10e3, 1e-9).frequency_hz == pytest.approx(6497.47, abs=5e-3)
    assert oscillator.three_high_pass_sections(3.3e3, 0.1e-6).frequency_hz == pytest.approx(196.893, abs=5e-4)
    assert oscillator.three_low_pass_sections(10e3, 10e-9).frequency_hz == pytest.approx(3898.484, abs=5e-4)
    buffered = oscillator.three_buffered_high_pass_sections(10e3, 10e-9)
    section = complex(rc.high_pass_response(2j * math.pi * buffered.frequency_hz, farads=10e-9, ohms=10e3))
    assert buffered.needed_gain * section**3 == pytest.approx(1.0, abs=1e-9)
    four = oscillator.four_high_pass_sections(10e3, 10e-9)
    assert four.frequency_hz / 1591.549431 == pytest.approx(0.836660, abs=1e-6)
    assert four.needed_gain == pytest.approx(-18.3878, abs=5e-5)


def test_wien_bridges() -> None:
    # Floyd, example 16.1; Boylestad, example 14.8 (printed 3122.27 with pi as 3.14).
    assert oscillator.wien_bridge_hz(10e3, 10e-9) == pytest.approx(1591.55, abs=5e-3)
    assert oscillator.wien_bridge_hz(51e3, 1e-9) == pytest.approx(3120.69, abs=5e-3)


def test_square_and_triangle() -> None:
    # Gayakwad, example 7.15: R2 = 1.16 R1 makes T about 2 R C; printed 1 kHz.
    period = oscillator.square_wave_s(ohms=10e3, farads=0.05e-6, ground_ohms=10e3, output_ohms=11.6e3)
    assert 1 / period == pytest.approx(997.853, abs=5e-4)
    # Floyd, example 16.4; Gayakwad, example 7.16; Franco, 3rd ed., example 10.5; Coughlin, example 6.6.
    lfo = {"farads": 10e-9, "square_ohms": 33e3, "triangle_ohms": 10e3}
    assert oscillator.triangle_wave_hz(ohms=10e3, **lfo) == pytest.approx(8250.0)
    assert oscillator.triangle_wave_hz(ohms=4.125e3, **lfo) == pytest.approx(20e3)
    assert oscillator.triangle_wave_hz(
        ohms=10e3, farads=0.05e-6, square_ohms=40e3, triangle_ohms=10e3
    ) == pytest.approx(2000.0)
    peak = oscillator.triangle_peak_v(swing_v=14.0, square_ohms=40e3, triangle_ohms=10e3)
    assert 2 * peak == pytest.approx(7.0)
    assert oscillator.triangle_wave_hz(
        ohms=2.5e3, farads=5e-9, square_ohms=10e3, triangle_ohms=20e3
    ) == pytest.approx(10e3)
    assert oscillator.triangle_wave_hz(
        ohms=13.8e3, farads=0.05e-6, square_ohms=2.76, triangle_ohms=1.0
    ) == pytest.approx(1000.0)


def test_schmitt_triggers() -> None:
    # Floyd, examples 13.2 and 13.3 (output held at 4.7 + 0.7 V against the feedback node).
    plain = oscillator.inverting_schmitt(high_v=5.0, low_v=-5.0, output_ohms=100e3, reference_ohms=100e3)
    assert (plain.lower_v, plain.upper_v) == (-2.5, 2.5)
    bounded = oscillator.inverting_schmitt(high_v=7.938, low_v=-7.938, output_ohms=100e3, reference_ohms=47e3)
    assert bounded.upper_v == pytest.approx(2.538, abs=5e-4)
    # Coughlin, examples 6.1 (printed 7 V), 4.4, 4.5 and 4.6.
    big = oscillator.inverting_schmitt(high_v=15.0, low_v=-15.0, output_ohms=100e3, reference_ohms=86e3)
    assert big.upper_v == pytest.approx(6.93548, abs=5e-6)
    through = oscillator.non_inverting_schmitt(
        high_v=15.0, low_v=-15.0, output_ohms=75e3, input_ohms=10e3, reference_v=8.82
    )
    assert (through.lower_v, through.upper_v) == pytest.approx((8.0, 12.0), abs=5e-3)
    upside = oscillator.inverting_schmitt(
        high_v=15.0, low_v=-15.0, output_ohms=65e3, reference_ohms=10e3, reference_v=11.54
    )
    assert (upside.lower_v, upside.upper_v) == pytest.approx((8.0, 12.0), abs=5e-3)
    # Example 4.6 has its reference through mR = 12.5k from -15 V: 12 V of shift for a grounded - input.
    wide = oscillator.non_inverting_schmitt(high_v=13.0, low_v=-13.0, output_ohms=86.67e3, input_ohms=10e3)
    shift = 15 * 10e3 / 12.5e3
    assert (wide.lower_v + shift, wide.upper_v + shift) == pytest.approx((10.5, 13.5), abs=1e-3)


def test_timer() -> None:
    # Floyd, example 16.6: 5642.6 Hz, 59.48 %.
    assert oscillator.timer_555_hz(upper_ohms=2.2e3, lower_ohms=4.7e3, farads=22e-9) == pytest.approx(
        5642.6, abs=0.05
    )
    assert oscillator.timer_555_duty(upper_ohms=2.2e3, lower_ohms=4.7e3) == pytest.approx(0.5948, abs=5e-5)


def test_dividers() -> None:
    assert divider.parallel_ohms(10e3, 22e3, math.inf) == pytest.approx(6875.0)
    assert divider.parallel_ohms() == math.inf and divider.parallel_ohms(0.0, 5.0) == 0.0
    assert divider.ratio(upper_ohms=33e3, lower_ohms=10e3, load_ohms=10e3) == pytest.approx(5 / 38)
    assert divider.pot_ratio(fraction=0.5, total_ohms=10e3, load_ohms=10e3) == pytest.approx(0.4)
    assert divider.pot_ratio(fraction=0.0, total_ohms=10e3) == 0.0
    assert divider.pot_ratio(fraction=1.0, total_ohms=10e3, source_ohms=2e3) == pytest.approx(10 / 12)
    assert complex(divider.impedance_ratio(3 + 4j, 1 - 2j)) == pytest.approx((1 - 2j) / (4 + 2j))
