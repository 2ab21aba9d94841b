"""Rest points with amplifiers: followers, rails, comparators, triggers, oscillators; and feedback pairs."""

import numpy as np
import pytest

from tests.solve.parts import GND, Parts, amplifier, bipolar, capacitor, current, diode, resistor, source
from tests.solve.solving import rest_of, small_of


def supply(volts: float = 9.0) -> Parts:
    return [source("V1", "VA", volts), resistor("R91", "VA", "VB", 1e4), resistor("R92", "VB", GND, 1e4)]


def test_follower_stands_at_its_input() -> None:
    rest = rest_of([*supply(), amplifier("U1", "VB", "out", "out")])
    assert rest.volts("out") == pytest.approx(4.5, abs=1e-4)
    assert rest.certificate.method == "newton"
    assert rest.stays


@pytest.mark.parametrize(("asked", "wanted"), [(2.0, 6.0), (4.0, 7.5), (-2.0, 1.5)])
def test_amplifier_stops_at_its_rails(asked: float, wanted: float) -> None:
    # Gain of three; headroom 1.5 V on both sides of a 9 V supply.
    parts = [*supply(), source("V2", "in", asked), amplifier("U1", "in", "n", "out")]
    rest = rest_of([*parts, resistor("R1", "n", GND, 1e4), resistor("R2", "n", "out", 2e4)])
    assert rest.volts("out") == pytest.approx(wanted, abs=1e-3)


def test_comparator_goes_to_the_rail_that_its_inputs_say() -> None:
    for plus, wanted in ((5.0, 7.5), (4.0, 1.5)):
        parts = [*supply(), source("V2", "p", plus), amplifier("U1", "p", "VB", "out")]
        rest = rest_of([*parts, resistor("R1", "out", GND, 1e4)])
        assert rest.volts("out") == pytest.approx(wanted, abs=1e-4)


def schmitt(volts: float) -> Parts:
    return [
        *supply(),
        source("V2", "in", volts),
        amplifier("U1", "p", "in", "out"),
        resistor("R1", "VB", "p", 1e4),
        resistor("R2", "out", "p", 2e4),
    ]


@pytest.mark.parametrize(("volts", "wanted"), [(2.0, 7.5), (7.0, 1.5)])
def test_schmitt_trigger_outside_its_thresholds(volts: float, wanted: float) -> None:
    assert rest_of(schmitt(volts)).volts("out") == pytest.approx(wanted, abs=1e-3)


def test_schmitt_trigger_between_its_thresholds_is_not_left_on_its_tip() -> None:
    rest = rest_of(schmitt(4.4))
    assert rest.stays and rest.certificate.ok
    out = rest.volts("out")
    assert min(abs(out - 7.5), abs(out - 1.5)) < 1e-3
    # The output's own rail must be the one the circuit then asks for.
    assert (rest.volts("p") > 4.4) == (out > 4.5)


def test_relaxation_oscillator_rests_but_does_not_stay() -> None:
    parts = [*supply(), amplifier("U1", "p", "n", "out"), resistor("R1", "VB", "p", 1e4)]
    parts += [resistor("R2", "out", "p", 2e4), resistor("R3", "out", "n", 1e5)]
    rest = rest_of([*parts, capacitor("C1", "n", GND, 1e-7)])
    assert rest.volts("out") == pytest.approx(4.5, abs=1e-3)
    assert not rest.stays


def test_no_supply_no_output() -> None:
    parts = [source("V1", "VA", 0.0), source("V2", "in", 1.0), amplifier("U1", "in", "out", "out")]
    rest = rest_of([*parts, resistor("R1", "out", GND, 1e4)])
    assert abs(rest.volts("out")) < 0.02


def test_supply_smaller_than_the_headroom_leaves_the_output_between_the_rails() -> None:
    parts = [source("V1", "VA", 1.0), source("V2", "in", 0.4), amplifier("U1", "in", "out", "out")]
    rest = rest_of([*parts, resistor("R1", "out", GND, 1e4)])
    assert 0.0 <= rest.volts("out") <= 1.0


def test_output_tied_to_ground_gives_up() -> None:
    rest = rest_of([*supply(), amplifier("U1", "VB", "n", GND), resistor("R1", "n", GND, 1e4)])
    assert rest.volts("n") == 0.0 and rest.amperes("U1") == 0.0


def test_bias_current_through_a_feedback_resistor() -> None:
    parts = [*supply(), amplifier("U1", "VB", "n", "out"), resistor("R1", "n", "out", 1e6)]
    rest = rest_of([*parts, current("I1", "n", GND, 50e-9)])
    assert rest.volts("out") - rest.volts("VB") == pytest.approx(0.05, rel=1e-3)


def test_amplifier_with_diodes_in_its_feedback_is_certified() -> None:
    parts = [*supply(), amplifier("U1", "VB", "n", "out"), resistor("R1", "n", "out", 5e5)]
    parts += [resistor("R2", "n", "x", 4.7e3), capacitor("C1", "x", GND, 1e-7)]
    parts += [diode("D1", "n", "out"), diode("D2", "out", "n")]
    assert rest_of(parts).volts("out") == pytest.approx(4.5, abs=1e-4)
    # The pair's conductance at rest is 2 Is/(n Vt).
    small = small_of(parts)
    pair = small.parameter("D1/gd") + small.parameter("D2/gd")
    assert pair == pytest.approx(2 * 2.52e-9 / (1.752 * 0.025864926), rel=1e-3)


def test_two_transistor_feedback_pair_by_its_own_current_laws() -> None:
    parts = [
        source("V1", "VA", 9.0),
        resistor("R1", "VA", "c1", 33e3),
        resistor("R2", "VA", "c2", 8.2e3),
        resistor("R3", "e2", "b1", 100e3),
        resistor("R4", "e2", GND, 1e3),
        bipolar("Q1", "c1", "b1", GND),
        bipolar("Q2", "c2", "c1", "e2"),
    ]
    rest = rest_of(parts)
    ic1, ic2 = rest.amperes("Q1"), rest.amperes("Q2")
    vt = 0.025864925786
    wanted1 = 1e-14 * np.exp(rest.volts("b1") / vt)
    assert ic1 == pytest.approx(wanted1, rel=1e-6)
    assert rest.amperes("R1") == pytest.approx(ic1 + ic2 / 200.0, rel=1e-6)
    assert rest.amperes("R3") == pytest.approx(ic1 / 200.0, rel=1e-6)
    assert rest.amperes("R4") + rest.amperes("R3") == pytest.approx(ic2 * (1 + 1 / 200.0), rel=1e-6)


def test_latched_pair_finds_one_of_its_states() -> None:
    parts: Parts = [source("V1", "VA", 9.0)]
    for own, other in (("1", "2"), ("2", "1")):
        parts += [
            resistor(f"RC{own}", "VA", f"c{own}", 1e3 if own == "1" else 1.1e3),
            resistor(f"RB{own}", f"c{other}", f"b{own}", 2.2e4),
            bipolar(f"Q{own}", f"c{own}", f"b{own}", GND),
        ]
    assert rest_of(parts).certificate.ok
