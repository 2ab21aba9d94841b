"""Diodes, transistors and JFETs against book examples, SciPy and the exact solution of the bias equations."""

import math

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import lambertw, wrightomega

from pedalwright.formulas import diode, jfet, transistor
from pedalwright.formulas._wright_omega import wright_omega


def test_thermal_voltage() -> None:
    # Exact constants of the SI, 2019.
    for kelvin, millivolts in [(290, 24.9903), (298.15, 25.6926), (300, 25.8520), (300.15, 25.8649)]:
        assert diode.thermal_v(kelvin) * 1e3 == pytest.approx(millivolts, abs=5e-5)


def test_wright_omega_agrees_with_scipy() -> None:
    x = np.concatenate([np.linspace(-600, 2000, 20001), np.linspace(-60, 5, 20001)])
    np.testing.assert_allclose(wright_omega(x), wrightomega(x), rtol=2e-14)
    assert float(wright_omega(math.log(3.0))) == pytest.approx(float(lambertw(3.0).real), rel=1e-14)
    assert float(wright_omega(-1e6)) == 0.0


@pytest.mark.parametrize(
    ("saturation_a", "emission", "own_ohms", "supply_v", "ohms", "milliamps", "volts"),
    [
        # Model cards in circulation for 1N4148, 1N4001, 1N5817; not data-sheet values. 300.15 K.
        (2.52e-9, 1.752, 0.568, 1.0, 1e3, 0.451596, 0.548404),
        (2.52e-9, 1.752, 0.568, 5.0, 1e3, 4.346772, 0.653228),
        (2.52e-9, 1.752, 0.568, 9.0, 1e3, 8.315124, 0.684876),
        (2.52e-9, 1.752, 0.568, 9.0, 10e3, 0.842313, 0.576874),
        (2.52e-9, 1.752, 0.568, 4.5, 100e3, 0.040610, 0.439019),
        (4.352e-9, 1.906, 0.6458, 9.0, 1e3, 8.281847, 0.718153),
        (14.11e-9, 1.984, 33.89e-3, 9.0, 1e3, 8.317880, 0.682120),
        (31.7e-6, 1.373, 51e-3, 9.0, 1e3, 8.799625, 0.200375),
        (1e-14, 1.0, 0.0, 5.0, 1e3, 4.307112, 0.692888),
    ],
)
def test_diode_with_resistor(
    saturation_a: float,
    emission: float,
    own_ohms: float,
    supply_v: float,
    ohms: float,
    milliamps: float,
    volts: float,
) -> None:
    """Closed form of Banwell and Jayakumar, Electronics Letters 36(4), 2000."""
    amps = diode.series_current_a(
        supply_v, ohms=ohms + own_ohms, saturation_a=saturation_a, emission=emission
    )
    assert amps * 1e3 == pytest.approx(milliamps, abs=6e-7)
    assert supply_v - amps * ohms == pytest.approx(volts, abs=6e-7)
    back = diode.forward_v(amps, saturation_a=saturation_a, emission=emission, series_ohms=own_ohms)
    assert back == pytest.approx(volts, abs=6e-7)


@pytest.mark.parametrize(
    ("supply_v", "extra_ohms", "milliamps"),
    [
        (0.6, 0.0, 0.345373), (0.6, 10.0, 0.306654), (0.6, 100.0, 0.175072), (0.6, 1000.0, 0.0498298),
        (0.7, 0.0, 14.3717), (0.7, 10.0, 3.76194), (0.7, 1000.0, 0.125977), (1.0, 0.0, 683.612),
        (1.0, 100.0, 3.40303),
    ],
)  # fmt: skip
def test_transistor_as_diode(supply_v: float, extra_ohms: float, milliamps: float) -> None:
    """The transistor of the same letter: Is 25 fA, n 1, 0.3 ohm, 298.15 K."""
    amps = diode.series_current_a(
        supply_v, ohms=0.3 + extra_ohms, saturation_a=25e-15, emission=1.0, kelvin=298.15
    )
    assert amps * 1e3 == pytest.approx(milliamps, rel=3e-6)


def test_reverse_voltage_gives_the_saturation_current() -> None:
    amps = diode.series_current_a(-20.0, ohms=1e3, saturation_a=2.52e-9, emission=1.752)
    assert amps == pytest.approx(-2.52e-9, rel=1e-6)
    assert math.isfinite(diode.series_current_a(1e6, ohms=1.0, saturation_a=1e-14, emission=1.0))


def test_forward_voltages_of_one_card() -> None:
    expected = {
        1e-6: 0.27126,
        1e-5: 0.37550,
        1e-4: 0.47989,
        1e-3: 0.58474,
        5e-3: 0.65994,
        0.01: 0.69419,
        0.1: 0.84966,
    }
    for amps, volts in expected.items():
        got = diode.forward_v(amps, saturation_a=2.52e-9, emission=1.752, series_ohms=0.568)
        assert got == pytest.approx(volts, abs=6e-6)
        junction = got - amps * 0.568
        assert diode.current_a(junction, saturation_a=2.52e-9, emission=1.752) == pytest.approx(
            amps, rel=1e-9
        )
    # Polarity diodes by their circulated cards, at 10 and 100 mA.
    card = {"saturation_a": 14.11e-9, "emission": 1.984, "series_ohms": 33.89e-3}
    assert diode.forward_v(0.01, **card) == pytest.approx(0.6916, abs=6e-5)
    assert diode.forward_v(0.1, **card) == pytest.approx(0.8128, abs=6e-5)
    schottky = {"saturation_a": 31.7e-6, "emission": 1.373, "series_ohms": 51e-3}
    assert diode.forward_v(0.01, **schottky) == pytest.approx(0.2050, abs=6e-5)
    assert diode.forward_v(0.1, **schottky) == pytest.approx(0.2912, abs=6e-5)


@pytest.mark.parametrize(
    ("input_v", "output_v"), [(0.1, 0.099950254), (0.5, 0.428654543), (4.5, 0.609794905)]
)
def test_diode_limiter_at_rest(input_v: float, output_v: float) -> None:
    """Yeh, Abel and Smith, DAFx-07: 2.2k, Is 2.52 nA, n VT 45.3 mV; static solution recomputed."""

    def miss(v: float) -> float:
        return (input_v - v) / 2200 - diode.pair_current_a(v, saturation_a=2.52e-9, scale_v=45.3e-3)

    assert brentq(miss, 0.0, 1.0, xtol=1e-14) == pytest.approx(output_v, abs=2e-9)
    assert diode.pair_zero_bias_ohms(2.52e-9, 45.3e-3) == pytest.approx(8.98810e6, rel=1e-6)


def test_divider_bias_of_malvino() -> None:
    # Malvino, example 8-1 (printed 1.1 mA, 4.92 V) and 8-3 (1.09 mA).
    parts = {
        "supply_v": 10.0,
        "upper_ohms": 10e3,
        "lower_ohms": 2.2e3,
        "collector_ohms": 3.6e3,
        "emitter_ohms": 1e3,
    }
    ideal = transistor.divider_bias(**parts)
    assert ideal.collector_a == pytest.approx(1.103279e-3, rel=1e-6)
    assert ideal.collector_v - ideal.emitter_v == pytest.approx(4.924918, abs=1e-6)
    assert ideal.base_a == 0.0
    real = transistor.divider_bias(**parts, beta=200.0)
    assert real.emitter_a == pytest.approx(1.0934686e-3, rel=1e-7)
    assert real.collector_v - real.emitter_v == pytest.approx(4.989629, abs=1e-6)
    # Example 8-4: 10 V, 10 mA: R1 488, R2 100.
    design = transistor.divider_bias(
        supply_v=10.0, upper_ohms=488.24, lower_ohms=100.0, collector_ohms=400.0, emitter_ohms=100.0
    )
    assert design.collector_a == pytest.approx(10e-3, rel=1e-3)


def test_divider_bias_of_boylestad_solves_the_node_equations() -> None:
    # Boylestad, example 5.2, beta 90, VBE 0.7: exact node solution.
    point = transistor.divider_bias(
        supply_v=22.0, upper_ohms=56e3, lower_ohms=8.2e3, collector_ohms=6.8e3, emitter_ohms=1.5e3, beta=90.0
    )
    assert point.base_a * 1e6 == pytest.approx(14.68799, abs=1e-5)
    assert point.collector_a * 1e3 == pytest.approx(1.321919, abs=1e-6)
    assert (point.emitter_v, point.collector_v) == pytest.approx((2.004911, 13.010949), abs=1e-6)
    at_base = (22.0 - point.base_v) / 56e3 - point.base_v / 8.2e3 - point.base_a
    assert at_base == pytest.approx(0.0, abs=1e-15)


def test_common_emitter_examples_of_boylestad() -> None:
    # Example 5.1: 12 V, 470k, 3k, beta 100; printed re 10.71, Zi 1.07k, Av -280.
    emitter_a = 101 * (12 - 0.7) / 470e3
    re = transistor.emitter_ohms(emitter_a)
    assert re == pytest.approx(10.70709, abs=1e-5)
    zb = transistor.base_input_z(beta=100.0, re_ohms=re)
    assert 470e3 * zb / (470e3 + zb) == pytest.approx(1068.28, abs=5e-3)
    assert transistor.common_emitter_gain(load_z=3e3, re_ohms=re) == pytest.approx(-280.188, abs=5e-4)
    loaded = 3e3 * 50e3 / 53e3
    assert transistor.common_emitter_gain(load_z=loaded, re_ohms=re) == pytest.approx(-264.329, abs=5e-4)
    # Example 5.2: printed re 18.44, Av -367.9 and -323.8 with ro 50k.
    base_v = 22 * 8.2 / 64.2
    re = transistor.emitter_ohms((base_v - 0.7) / 1.5e3)
    assert re == pytest.approx(18.48369, abs=1e-5)
    assert transistor.common_emitter_gain(load_z=6.8e3, re_ohms=re) == pytest.approx(-367.892, abs=5e-4)
    loaded = 6.8e3 * 50e3 / 56.8e3
    assert transistor.common_emitter_gain(load_z=loaded, re_ohms=re) == pytest.approx(-323.849, abs=5e-4)
    # Example 5.3: unbypassed emitter; the book's shortened form prints 59.34k and -3.89.
    re = transistor.emitter_ohms(121 * (20 - 0.7) / (470e3 + 121 * 560))
    zb = transistor.base_input_z(beta=120.0, re_ohms=re, emitter_z=560.0)
    zi = 470e3 * zb / (470e3 + zb)
    assert re == pytest.approx(5.99, abs=5e-3) and zi == pytest.approx(59.770e3, rel=1e-4)
    assert -120 * 2.2e3 / zb == pytest.approx(-3.8552, abs=5e-4)
    # Example 5.5: re 19.64; -3.24 without re, -112.02 bypassed (exact -111.991).
    re = transistor.emitter_ohms((16 * 0.1 - 0.7) / 680)
    assert re == pytest.approx(19.64444, abs=1e-5)
    gain = transistor.common_emitter_gain(load_z=2.2e3, re_ohms=re, emitter_z=680.0)
    assert gain == pytest.approx(-3.144454, abs=1e-6)
    assert transistor.common_emitter_gain(load_z=2.2e3, re_ohms=re) == pytest.approx(-111.991, abs=5e-4)


def test_fixed_and_feedback_bias() -> None:
    # Boylestad, example 4.1: printed 47.08 uA, 2.35 mA, 6.83 V.
    point = transistor.fixed_bias(supply_v=12.0, base_ohms=240e3, collector_ohms=2.2e3, beta=50.0)
    assert (point.base_a, point.collector_a) == pytest.approx((47.0833e-6, 2.354167e-3), rel=1e-6)
    fed = transistor.feedback_bias(
        supply_v=9.0, base_ohms=470e3, collector_ohms=10e3, beta=250.0, emitter_ohms=390.0
    )
    # Node law at the collector: what comes down RC leaves through the collector and the base resistor.
    assert (9.0 - fed.collector_v) / 10e3 == pytest.approx(fed.collector_a + fed.base_a, rel=1e-12)
    assert (fed.collector_v - fed.base_v) / 470e3 == pytest.approx(fed.base_a, rel=1e-9)
    assert fed.base_v - fed.emitter_v == pytest.approx(0.7)


def test_emitter_follower() -> None:
    gain = transistor.emitter_follower_gain(load_z=4.7e3, re_ohms=26.0)
    assert gain == pytest.approx(4700 / 4726)
    out = transistor.emitter_follower_output_z(re_ohms=26.0, source_z=10e3, beta=199.0, emitter_ohms=4.7e3)
    assert out == pytest.approx(1 / (1 / 76 + 1 / 4700))


@pytest.mark.parametrize(
    ("idss_ma", "pinch_off_v", "gate_v", "source_ohms", "gate_source_v", "milliamps"),
    [
        (8, -6.0, 0.0, 1e3, -2.587624, 2.587624),  # Boylestad, example 7.2: read off a drawing as 2.6 mA
        (8, -4.0, 16 * 270 / 2370, 1.5e3, -1.80168, 2.416309),  # 7.5: 2.4 mA
        (12, -6.0, 0.0, 680.0, -2.60798, 3.835265),  # 7.6: 3.8 mA
        (6, -3.0, 1.5, 750.0, -0.837722, 3.116963),  # 7.7, depletion MOSFET: 3.1 mA
        (6, -3.0, 1.5, 150.0, 0.366600, 7.555998),  # 7.8: 7.6 mA
    ],
)
def test_self_bias(
    idss_ma: float,
    pinch_off_v: float,
    gate_v: float,
    source_ohms: float,
    gate_source_v: float,
    milliamps: float,
) -> None:
    card = {"idss_a": idss_ma * 1e-3, "pinch_off_v": pinch_off_v}
    vgs = jfet.self_bias_gate_source_v(source_ohms=source_ohms, gate_v=gate_v, **card)
    amps = jfet.self_bias_drain_a(source_ohms=source_ohms, gate_v=gate_v, **card)
    assert vgs == pytest.approx(gate_source_v, abs=6e-6)
    assert amps * 1e3 == pytest.approx(milliamps, abs=1e-6)
    assert vgs == pytest.approx(gate_v - amps * source_ohms, abs=1e-12)


def test_square_law_examples() -> None:
    # Floyd, examples 7.3, 7.4, 7.8, 7.9; Boylestad, example 7.1.
    for volts, milliamps in [(0.0, 9.0), (-1.0, 6.890625), (-4.0, 2.25), (-9.0, 0.0)]:
        assert jfet.drain_a(volts, idss_a=9e-3, pinch_off_v=-8.0) * 1e3 == pytest.approx(milliamps)
    assert jfet.drain_a(-2.0, idss_a=10e-3, pinch_off_v=-8.0) == pytest.approx(5.625e-3)
    p_channel = jfet.drain_a(5.0, idss_a=25e-3, pinch_off_v=15.0)
    assert p_channel == pytest.approx(11.1111e-3, rel=1e-5)
    assert jfet.source_ohms_for(drain_a=p_channel, idss_a=25e-3, pinch_off_v=15.0) == pytest.approx(450.0)
    exact = jfet.source_ohms_for(drain_a=6e-3, idss_a=12e-3, pinch_off_v=-3.0)
    assert exact == pytest.approx(146.447, abs=5e-4)
    # Floyd, example 7.4: gm 1.667 mS at -4 V for gm0 5 mS, Vp -6 V; ID 0.3333 mA with the square.
    assert jfet.transconductance_s(-4.0, idss_a=15e-3, pinch_off_v=-6.0) == pytest.approx(1.667e-3, abs=5e-7)
    assert jfet.drain_a(-4.0, idss_a=3e-3, pinch_off_v=-6.0) == pytest.approx(0.3333e-3, abs=5e-8)


def test_cards_and_sheets() -> None:
    # IDSS of circulated 2N5457 cards, beta times Vto squared.
    for beta, volts, milliamps in [
        (1.125e-3, -1.372, 2.118),
        (1.04e-3, -1.25, 1.625),
        (1.813e-3, -1.8, 5.874),
    ]:
        assert jfet.beta_a_per_v2(milliamps * 1e-3, volts) == pytest.approx(beta, rel=5e-4)


def test_a_gate_far_below_pinch_off_carries_nothing() -> None:
    card = {"source_ohms": 1e3, "idss_a": 8e-3, "pinch_off_v": -3.0, "gate_v": -5.0}
    assert jfet.self_bias_gate_source_v(**card) == pytest.approx(-5.0)
    assert jfet.self_bias_drain_a(**card) == 0.0


def test_channel_as_resistor_is_the_slope_at_the_origin() -> None:
    # The triode law IDSS (2 (1 - VGS/Vp) (VDS/|Vp|) - (VDS/Vp)^2), differentiated at zero.
    def triode(vds: float) -> float:
        return 5e-3 * (2 * (1 - 0.5) * vds / 2.0 - (vds / 2.0) ** 2)

    slope = (triode(1e-6) - triode(-1e-6)) / 2e-6
    assert jfet.channel_ohms(-1.0, idss_a=5e-3, pinch_off_v=-2.0) == pytest.approx(1 / slope, rel=1e-9)
    assert math.isinf(jfet.channel_ohms(-2.5, idss_a=5e-3, pinch_off_v=-2.0))
