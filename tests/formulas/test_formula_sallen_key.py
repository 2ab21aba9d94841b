"""Sallen-Key filters against handbook examples and against nodal analysis.

"Printed" values stand in the book named beside them and are compared to their printed digits; "exact" ones
were recomputed from the same parts and are compared to 1e-4 or better.
"""

import cmath
import math

import pytest

from pedalwright.formulas import rc, sallen_key, tolerance, two_pole
from pedalwright.formulas.two_pole import TwoPole

from .by_nodes import Branches, solve
from .levels import at, db, high_db, low_db


def sallen_key_by_nodes(s: complex, z: dict[str, complex], gain: float) -> complex:
    branches: Branches = [
        ("in", "x", 1 / z["input"]), ("x", "p", 1 / z["middle"]), ("p", "gnd", 1 / z["ground"]),
        ("x", "out", 1 / z["feedback"]), ("out", "n", 1.0), ("n", "gnd", gain - 1),
    ]  # fmt: skip
    return solve(branches, plus="p", minus="n")


@pytest.mark.parametrize("hertz", [37.0, 410.0, 2900.0, 31e3])
@pytest.mark.parametrize("gain", [1.0, 2.1])
def test_sallen_key_forms_agree_with_nodal_analysis(hertz: float, gain: float) -> None:
    s = at(hertz)
    c1, c2, r1, r2 = 3.3e-9, 1.2e-9, 27e3, 82e3
    low = {"input": r1, "middle": r2, "ground": 1 / (s * c2), "feedback": 1 / (s * c1)}
    high = {"input": 1 / (s * c1), "middle": 1 / (s * c2), "ground": r2, "feedback": r1}
    for z in (low, high):
        general = sallen_key.response(
            input_z=z["input"],
            middle_z=z["middle"],
            ground_z=z["ground"],
            feedback_z=z["feedback"],
            gain=gain,
        )
        assert general == pytest.approx(sallen_key_by_nodes(s, z, gain), rel=1e-10)
    as_low = sallen_key.low_pass(
        input_ohms=r1, middle_ohms=r2, ground_farads=c2, feedback_farads=c1, gain=gain
    )
    assert two_pole.low_pass_response(s, as_low) == pytest.approx(
        sallen_key_by_nodes(s, low, gain), rel=1e-10
    )
    as_high = sallen_key.high_pass(
        input_farads=c1, middle_farads=c2, ground_ohms=r2, feedback_ohms=r1, gain=gain
    )
    assert two_pole.high_pass_response(s, as_high) == pytest.approx(
        sallen_key_by_nodes(s, high, gain), rel=1e-10
    )


def test_chebyshev_sallen_key_of_op_amps_for_everyone() -> None:
    # Op Amps for Everyone, example 16-2, figure 16-17 (3 dB Chebyshev, 3 kHz).
    stage = sallen_key.low_pass(
        input_ohms=1.26e3, middle_ohms=1.30e3, ground_farads=22e-9, feedback_farads=150e-9
    )
    assert stage.natural_hz == pytest.approx(2164.74, rel=1e-5)
    assert stage.q == pytest.approx(1.30542, rel=1e-5)
    for hertz, expected in [
        (100, 0.0131), (1500, 2.5806), (2000, 2.8206), (2500, 0.4865), (3000, -2.9545), (6000, -16.9162),
        (10000, -26.2964),
    ]:  # fmt: skip
        assert low_db(stage, hertz) == pytest.approx(expected, abs=1e-4)
    # The printed resistors do not follow from 150 nF: the root is nearly double and very sensitive.
    resistors = sallen_key.unity_low_pass_resistors(
        corner_hz=3e3, a=1.0650, b=1.9305, ground_farads=22e-9, feedback_farads=150e-9
    )
    assert resistors.input_ohms == pytest.approx(1234.9, rel=1e-3)
    assert resistors.middle_ohms == pytest.approx(1333.3, rel=1e-3)


def test_fifth_order_butterworth_of_op_amps_for_everyone() -> None:
    # Op Amps for Everyone, example 16-3, figure 16-22: printed 1.87k and 4.42k, 1.45k and 4.51k.
    second = sallen_key.unity_low_pass_resistors(
        corner_hz=50e3, a=1.6180, b=1.0, ground_farads=820e-12, feedback_farads=1.5e-9
    )
    assert (second.input_ohms, second.middle_ohms) == pytest.approx((1865.80, 4415.00), rel=1e-5)
    third = sallen_key.unity_low_pass_resistors(
        corner_hz=50e3, a=0.6180, b=1.0, ground_farads=330e-12, feedback_farads=4.7e-9
    )
    assert (third.input_ohms, third.middle_ohms) == pytest.approx((1447.25, 4513.83), rel=1e-5)
    # With the 1 % parts.
    chosen = sallen_key.low_pass(
        input_ohms=1.87e3, middle_ohms=4.42e3, ground_farads=820e-12, feedback_farads=1.5e-9
    )
    peaked = sallen_key.low_pass(
        input_ohms=1.47e3, middle_ohms=4.53e3, ground_farads=330e-12, feedback_farads=4.7e-9
    )
    assert (chosen.natural_hz, chosen.q) == pytest.approx((49915.5, 0.618187), rel=2e-6)
    assert (peaked.natural_hz, peaked.q) == pytest.approx((49522.9, 1.62311), rel=3e-6)
    for hertz, expected in [
        (10e3, 0.0082),
        (40e3, -0.3609),
        (50e3, -3.0516),
        (100e3, -30.2793),
        (500e3, -100.134),
    ]:
        total = low_db(chosen, hertz) + low_db(peaked, hertz)
        total += db(rc.low_pass_response(at(hertz), ohms=3.16e3, farads=1e-9))
        assert total == pytest.approx(expected, abs=6e-4)


def test_third_order_bessel_high_pass_of_op_amps_for_everyone() -> None:
    # Op Amps for Everyone, example 16-4, figure 16-30. The printed 3.18k needs a2 = 0.9996, not the 0.756
    # that stands in the expression; b2 = 0.4772.
    omega = 2 * math.pi * 1000.0
    assert 1 / (omega * 0.7560 * 100e-9) == pytest.approx(2105.22, rel=1e-4)
    stage = sallen_key.high_pass(
        input_farads=100e-9, middle_farads=100e-9, ground_ohms=3.16e3, feedback_ohms=1.65e3
    )
    assert (stage.natural_hz, stage.q) == pytest.approx((697.003, 0.691945), rel=2e-6)
    for hertz, expected in [
        (100, -51.4061),
        (500, -12.1266),
        (1000, -3.0400),
        (2000, -0.6921),
        (10e3, -0.0268),
    ]:
        first = db(rc.high_pass_response(at(hertz), farads=100e-9, ohms=2.10e3))
        assert high_db(stage, hertz) + first == pytest.approx(expected, abs=1e-4)


def test_equal_part_sallen_key_and_its_sensitivities() -> None:
    # Franco, 3rd ed., examples 3.8 and 3.9, and the sensitivities of example 3.21.
    assert sallen_key.equal_parts_gain(5.0) == pytest.approx(2.8)
    assert math.isnan(sallen_key.equal_parts_gain(0.3))
    ohms = rc.ohms_for_corner(1000.0, 10e-9)
    assert ohms == pytest.approx(15915.49, rel=1e-6)
    assert sallen_key.divider_for_unity_gain(ohms, 2.8).series_ohms == pytest.approx(44563.38, rel=1e-6)

    def q(r1: float = 1.0, c1: float = 1.0, upper: float = 1.8) -> float:
        return sallen_key.low_pass(
            input_ohms=r1 * ohms,
            middle_ohms=ohms,
            ground_farads=10e-9,
            feedback_farads=c1 * 10e-9,
            gain=1 + upper,
        ).q

    assert abs(tolerance.relative_sensitivity(lambda x: q(r1=x), 1.0)) == pytest.approx(4.5, rel=1e-6)
    assert abs(tolerance.relative_sensitivity(lambda x: q(c1=x), 1.0)) == pytest.approx(9.5, rel=1e-6)
    assert tolerance.relative_sensitivity(lambda x: q(upper=x), 1.8) == pytest.approx(9.0, rel=1e-6)
    # 1.1 % on one gain resistor moves Q by 9 %.
    practical = sallen_key.low_pass(
        input_ohms=15.8e3, middle_ohms=15.8e3, ground_farads=10e-9, feedback_farads=10e-9, gain=2.78
    )
    assert (practical.natural_hz, practical.q) == pytest.approx((1007.31, 4.54545), rel=4e-6)


def test_oscillating_sallen_key_has_no_quality() -> None:
    stage = sallen_key.low_pass(
        input_ohms=10e3, middle_ohms=10e3, ground_farads=10e-9, feedback_farads=10e-9, gain=3.2
    )
    assert math.isnan(stage.q)


def test_unity_gain_sallen_key_of_franco() -> None:
    # Franco, 3rd ed., example 3.10: printed 5.758k and 2.199k.
    r = sallen_key.unity_low_pass_resistors(
        corner_hz=10e3, a=0.5, b=1.0, ground_farads=1e-9, feedback_farads=20e-9
    )
    assert (r.middle_ohms, r.input_ohms) == pytest.approx((5758.0, 2199.0), abs=0.5)
    stage = sallen_key.low_pass(
        input_ohms=r.middle_ohms, middle_ohms=r.input_ohms, ground_farads=1e-9, feedback_farads=20e-9
    )
    h = two_pole.low_pass_response(at(20e3), stage)
    assert db(h) == pytest.approx(-10.0, abs=1e-4)
    assert math.degrees(cmath.phase(h)) == pytest.approx(-161.565, abs=1e-3)
    # Example 3.11: 10 V at 20 kHz gives 2.425 V; the relative phase is -136.686 degrees.
    butterworth = TwoPole(natural_hz=10e3, q=2**-0.5, gain=1.0)
    h = two_pole.low_pass_response(at(20e3), butterworth)
    assert 10 * abs(complex(h)) == pytest.approx(2.425, abs=5e-4)
    assert math.degrees(cmath.phase(h)) == pytest.approx(-136.686, abs=1e-3)


def test_sallen_key_high_passes() -> None:
    # Franco, 3rd ed., example 3.12: printed 2.653k and 23.87k.
    r = sallen_key.unity_high_pass_resistors(natural_hz=200.0, q=1.5, farads=0.1e-6)
    assert (r.feedback_ohms, r.ground_ohms) == pytest.approx((2652.58, 23873.24), rel=1e-6)
    stage = TwoPole(natural_hz=200.0, q=1.5, gain=1.0)
    assert [high_db(stage, f) for f in (20, 200, 2000)] == pytest.approx([-39.9324, 3.5218, 0.0676], abs=1e-4)
    # Gayakwad, example 7.6: 33k, 4.7 nF, gain 1.586.
    dual = sallen_key.high_pass(
        input_farads=4.7e-9, middle_farads=4.7e-9, ground_ohms=33e3, feedback_ohms=33e3, gain=1 + 15.82 / 27
    )
    assert dual.natural_hz == pytest.approx(1026.14, rel=1e-5)
    assert [high_db(dual, f) for f in (100, 1000, 10e3)] == pytest.approx(
        [-36.4431, 0.7663, 4.0052], abs=2e-4
    )
    # Coughlin, example 11.10: third order at 159 Hz from 20k and 5k.
    third = sallen_key.high_pass(
        input_farads=0.1e-6, middle_farads=0.1e-6, ground_ohms=20e3, feedback_ohms=5e3
    )
    assert (third.natural_hz, third.q) == pytest.approx((159.155, 1.0), rel=1e-5)
    total = high_db(third, 15.9155) + db(rc.high_pass_response(at(15.9155), farads=0.1e-6, ohms=10e3))
    assert total == pytest.approx(-60.0, abs=1e-3)


def test_equal_part_butterworth_of_gayakwad() -> None:
    # Gayakwad, example 7.4: gains printed at ten frequencies.
    stage = TwoPole(natural_hz=1000.0, q=1 / (3 - 1.586), gain=1.586)
    printed = [
        (10, 1.59), (100, 1.59), (200, 1.58), (700, 1.42), (1000, 1.12), (3000, 0.18), (7000, 0.03),
        (10e3, 0.02),
    ]  # fmt: skip
    for hertz, gain in printed:
        assert abs(two_pole.low_pass_response(at(hertz), stage)) == pytest.approx(gain, abs=5.1e-3)
    exact = [
        (10, 1.586),
        (200, 1.584752),
        (1000, 1.121641),
        (3000, 0.175150),
        (10e3, 0.015859),
        (30e3, 1.762e-3),
    ]
    for hertz, gain in exact:
        assert abs(two_pole.low_pass_response(at(hertz), stage)) == pytest.approx(gain, rel=3e-4)
