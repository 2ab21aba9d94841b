"""Multiple-feedback filters against handbook examples and against nodal analysis.

"Printed" values stand in the book named beside them and are compared to their printed digits; "exact" ones
were recomputed from the same parts and are compared to 1e-4 or better.
"""

import math

import pytest

from pedalwright.formulas import multiple_feedback, sallen_key, two_pole
from pedalwright.formulas.two_pole import TwoPole

from .by_nodes import Branches, solve
from .levels import at, band_db, low_db


@pytest.mark.parametrize("hertz", [37.0, 410.0, 2900.0, 31e3])
def test_multiple_feedback_forms_agree_with_nodal_analysis(hertz: float) -> None:
    s = at(hertz)

    def by_nodes(y1: complex, y2: complex, y3: complex, y4: complex, y5: complex) -> complex:
        branches: Branches = [
            ("in", "x", y1), ("x", "out", y2), ("x", "n", y3), ("x", "gnd", y4), ("n", "out", y5),
        ]  # fmt: skip
        return solve(branches, plus="gnd", minus="n")

    low = multiple_feedback.low_pass(
        input_ohms=12e3, feedback_ohms=33e3, inverting_ohms=6.8e3, shunt_farads=15e-9, bridging_farads=1.5e-9,
        further_input_ohms=56e3,
    )  # fmt: skip
    admittances = (1 / 12e3, 1 / 33e3, 1 / 6.8e3, s * 15e-9 + 1 / 56e3, s * 1.5e-9)
    assert two_pole.low_pass_response(s, low) == pytest.approx(by_nodes(*admittances), rel=1e-10)
    general = multiple_feedback.response(
        input_y=admittances[0], feedback_y=admittances[1], inverting_y=admittances[2],
        other_y=admittances[3], bridging_y=admittances[4],
    )  # fmt: skip
    assert general == pytest.approx(by_nodes(*admittances), rel=1e-10)

    band = multiple_feedback.band_pass(
        input_ohms=47e3, feedback_ohms=180e3, feedback_farads=4.7e-9, inverting_farads=10e-9, shunt_ohms=2.2e3
    )
    expected = by_nodes(1 / 47e3, s * 4.7e-9, s * 10e-9, 1 / 2.2e3, 1 / 180e3)
    assert two_pole.band_pass_response(s, band) == pytest.approx(expected, rel=1e-10)

    high = multiple_feedback.high_pass(
        input_farads=22e-9,
        feedback_farads=6.8e-9,
        inverting_farads=10e-9,
        shunt_ohms=5.6e3,
        bridging_ohms=47e3,
    )
    expected = by_nodes(s * 22e-9, s * 6.8e-9, s * 10e-9, 1 / 5.6e3, 1 / 47e3)
    assert two_pole.high_pass_response(s, high) == pytest.approx(expected, rel=1e-10)


def test_capacitor_minimum_gives_no_number_below_it() -> None:
    just_enough = sallen_key.unity_low_pass_resistors(
        corner_hz=50e3, a=1.618034, b=1.0, ground_farads=820e-12, feedback_farads=1.2530e-9
    )
    too_small = sallen_key.unity_low_pass_resistors(
        corner_hz=50e3, a=1.618034, b=1.0, ground_farads=820e-12, feedback_farads=1.2525e-9
    )
    assert math.isfinite(just_enough.input_ohms) and math.isnan(too_small.input_ohms)


@pytest.mark.parametrize(
    ("centre_hz", "q", "gain", "farads", "expected"),
    [
        # Op Amps for Everyone, example 16-5 (values from memory).
        (1000.0, 10.0, -2.0, 100e-9, (7957.75, 80.3813, 31830.99)),
        # Franco, 3rd ed., example 3.15: printed 15.92k, 837.7, 318.3k.
        (1000.0, 10.0, -10.0, 10e-9, (15915.49, 837.658, 318309.9)),
        # Gayakwad, example 7.8a: printed 4.77k, 5.97k, 95.49k.
        (1000.0, 3.0, -10.0, 10e-9, (4774.65, 5968.31, 95492.97)),
        # Coughlin, example 11.15: printed 21.21k, 3.03k, feedback twice the first.
        (1000.0, 2.0, -1.0, 15e-9, (21220.66, 3031.52, 42441.32)),
        # Coughlin, example 11.17: printed 40.2k, 201.9.
        (120.0, 10.0, -1.0, 0.33e-6, (40190.64, 201.963, 80381.28)),
    ],
)
def test_multiple_feedback_band_pass_designs(
    centre_hz: float, q: float, gain: float, farads: float, expected: tuple[float, float, float]
) -> None:
    r = multiple_feedback.band_pass_resistors(centre_hz=centre_hz, q=q, gain=gain, farads=farads)
    assert (r.input_ohms, r.shunt_ohms, r.feedback_ohms) == pytest.approx(expected, rel=3e-6)
    back = multiple_feedback.band_pass(
        input_ohms=r.input_ohms, feedback_ohms=r.feedback_ohms, shunt_ohms=r.shunt_ohms,
        feedback_farads=farads, inverting_farads=farads,
    )  # fmt: skip
    assert (back.natural_hz, back.q, back.gain) == pytest.approx((centre_hz, q, gain), rel=1e-9)


def test_band_pass_responses_away_from_the_centre() -> None:
    franco = TwoPole(natural_hz=1000.0, q=10.0, gain=-10.0)
    for hertz, expected in [(500, -3.5411), (950, 16.8754), (1051.25, 16.9896), (2000, -3.5411)]:
        assert band_db(franco, hertz) == pytest.approx(expected, abs=1e-4)
    # Floyd, example 15.6: printed f0 736.13, A0 1.3235, BW 176.84.
    floyd = multiple_feedback.band_pass(
        input_ohms=68e3, feedback_ohms=180e3, shunt_ohms=2.7e3, feedback_farads=10e-9, inverting_farads=10e-9
    )
    assert floyd.natural_hz / floyd.q == pytest.approx(176.8388, rel=1e-6)
    assert band_db(floyd, 500) == pytest.approx(-8.3201, abs=1e-4)
    assert band_db(floyd, 1000) == pytest.approx(-6.4363, abs=1e-4)


def test_band_pass_without_shunt() -> None:
    q = 1.7
    stage = multiple_feedback.band_pass(
        input_ohms=10e3, feedback_ohms=10e3 * (2 * q) ** 2, feedback_farads=10e-9, inverting_farads=10e-9
    )
    assert stage.q == pytest.approx(q) and stage.gain == pytest.approx(-2 * q**2)


def test_retuning_a_band_pass_by_its_shunt_is_not_the_books_rule() -> None:
    # Gayakwad, example 7.8b scales the shunt by (fc/fc')^2 to 2.65k and expects 1500 Hz; it gives 1247.22 Hz.
    def centre(shunt_ohms: float) -> TwoPole:
        return multiple_feedback.band_pass(
            input_ohms=4.77e3, feedback_ohms=95.49e3, shunt_ohms=shunt_ohms,
            feedback_farads=10e-9, inverting_farads=10e-9,
        )  # fmt: skip

    assert (centre(2652.6).natural_hz, centre(2652.6).q) == pytest.approx((1247.22, 3.74166), rel=4e-4)
    right = multiple_feedback.retuned_shunt_ohms(input_ohms=4774.65, shunt_ohms=5968.31, ratio=1.5)
    assert right == pytest.approx(1565.46, rel=1e-5)
    assert centre(right).natural_hz == pytest.approx(1500.0, rel=5e-4)


def test_franco_multiple_feedback_low_pass() -> None:
    # Franco, 3rd ed., example 3.16; the book's R2 is wrong, 530.5 ohm is right.
    r = multiple_feedback.low_pass_resistors(
        corner_hz=10e3, a=1 / 4, b=1.0, gain=-2.0, shunt_farads=200e-9, bridging_farads=1e-9, larger=True
    )
    assert (r.input_ohms, r.feedback_ohms, r.inverting_ohms) == pytest.approx(
        (1193.66, 2387.32, 530.516), rel=3e-6
    )
    stage = multiple_feedback.low_pass(
        input_ohms=r.input_ohms, feedback_ohms=r.feedback_ohms, inverting_ohms=r.inverting_ohms,
        shunt_farads=200e-9, bridging_farads=1e-9,
    )  # fmt: skip
    assert (stage.natural_hz, stage.q, stage.gain) == pytest.approx((10e3, 4.0, -2.0))
    for hertz, expected in [(100, 6.0214), (5000, 8.4004), (10e3, 18.0618), (20e3, -3.6408)]:
        assert low_db(stage, hertz) == pytest.approx(expected, abs=1e-4)


@pytest.mark.parametrize(
    ("larger", "feedback", "inverting"), [(False, 14812.48, 16538.34), (True, 33076.69, 7406.24)]
)
def test_both_roots_of_the_low_pass_design(larger: bool, feedback: float, inverting: float) -> None:
    r = multiple_feedback.low_pass_resistors(
        corner_hz=1e3, a=2**0.5, b=1.0, gain=-1.0, shunt_farads=22e-9, bridging_farads=4.7e-9, larger=larger
    )
    assert (r.feedback_ohms, r.inverting_ohms) == pytest.approx((feedback, inverting), rel=1e-6)
