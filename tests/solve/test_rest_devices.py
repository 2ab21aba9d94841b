"""Rest points of single devices against closed forms.

Diode: Banwell and Jayakumar, Electronics Letters 36(4), 291-292, 2000. JFET self-bias and transistor
examples: the problems of Boylestad and Nashelsky and of Malvino and Bates (numbers recomputed exactly;
problem data from memory).
"""

import numpy as np
import pytest
from scipy.special import lambertw

from pedalwright.circuit.primitives import BipolarTransistor
from pedalwright.solve.equations import thermal_voltage
from pedalwright.solve.rest import ROOM_K
from tests.solve.parts import (
    GND,
    bipolar,
    controlled,
    current,
    diode,
    draw,
    field_effect,
    inductor,
    regulator,
    resistor,
    source,
)
from tests.solve.solving import rest_of, small_of

VT = thermal_voltage(ROOM_K)

# Card (saturation current, emission coefficient, series resistance), supply, resistor, and the printed
# current in mA: the closed form at 300.15 K with the card's series resistance added to the resistor.
PRINTED = [
    (2.52e-9, 1.752, 0.568, 1.0, 1e3, 0.451596),
    (2.52e-9, 1.752, 0.568, 5.0, 1e3, 4.346772),
    (2.52e-9, 1.752, 0.568, 9.0, 1e3, 8.315124),
    (2.52e-9, 1.752, 0.568, 9.0, 1e4, 0.842313),
    (2.52e-9, 1.752, 0.568, 4.5, 1e5, 0.040610),
    (31.7e-6, 1.373, 0.051, 9.0, 1e3, 8.799625),
    (1e-14, 1.0, 0.0, 5.0, 1e3, 4.307112),
]


@pytest.mark.parametrize(("saturation_a", "emission", "series", "volts", "ohms", "milliamps"), PRINTED)
def test_diode_and_resistor(
    saturation_a: float, emission: float, series: float, volts: float, ohms: float, milliamps: float
) -> None:
    rest = rest_of(
        [
            source("V1", "a", volts),
            resistor("R1", "a", "k", ohms + series),
            diode("D1", "k", GND, saturation_a=saturation_a, emission=emission),
        ]
    )
    scale, total = emission * VT, ohms + series
    argument = saturation_a * total / scale * np.exp((volts + saturation_a * total) / scale)
    closed_form = scale / total * lambertw(argument).real - saturation_a
    assert rest.amperes("D1") == pytest.approx(closed_form, rel=1e-8)
    assert rest.amperes("R1") == pytest.approx(closed_form, rel=1e-8)
    assert rest.amperes("R1") * 1e3 == pytest.approx(milliamps, abs=1e-6)


def test_zener_holds_its_voltage_at_one_milliampere() -> None:
    zener = diode("D1", GND, "k", saturation_a=1e-14, emission=1.0, breakdown_v=5.1)
    assert rest_of([current("I1", GND, "k", 1e-3), zener]).volts("k") == pytest.approx(5.1, abs=1e-6)


def test_reverse_diode_lets_its_saturation_current_through() -> None:
    parts = [source("V1", "a", 9.0), resistor("R1", "a", "k", 1e6), diode("D1", GND, "k")]
    assert rest_of(parts).amperes("R1") == pytest.approx(2.52e-9, rel=1e-3)


def self_bias_a(idss_a: float, threshold_v: float, ohms: float) -> float:
    """ID = IDSS ((sqrt(1 + 4a) - 1)/(2a))^2 with a = IDSS RS/|Vp|."""
    a = idss_a * ohms / abs(threshold_v)
    return float(idss_a * ((np.sqrt(1 + 4 * a) - 1) / (2 * a)) ** 2)


# Supply, IDSS, Vp, RD, RS, and VDS: Boylestad and Nashelsky, examples of self-bias (exact values).
@pytest.mark.parametrize("polarity", [1, -1])
def test_jfet_self_bias(polarity: int) -> None:
    parts = [
        source("V1", "vdd", 20.0 * polarity),
        resistor("RD", "vdd", "d", 3.3e3),
        resistor("RS", "s", GND, 1e3),
        resistor("RG", "g", GND, 1e6),
        field_effect("J1", "d", "g", "s", polarity=polarity, idss_a=8e-3, threshold_v=-6.0),
    ]
    rest = rest_of(parts)
    current_a = self_bias_a(8e-3, -6.0, 1e3)
    assert current_a == pytest.approx(2.587624e-3, rel=1e-6)
    assert rest.amperes("J1") == pytest.approx(polarity * current_a, rel=1e-8)
    assert rest.volts("d") - rest.volts("s") == pytest.approx(polarity * 8.87322, abs=1e-5)
    gm = 2 * 8e-3 / 6.0 * (1 - rest.volts("s") * polarity / 6.0)
    assert small_of(parts).parameter("J1/gm") == pytest.approx(gm, rel=1e-6)
    assert gm == pytest.approx(1.51661e-3, rel=1e-5)


# The last one with 1.5 kohm in the drain: the printed 1.8 kohm leaves the transistor just short of
# saturation.
@pytest.mark.parametrize(
    ("vdd", "idss_ma", "pinch", "rd", "rs", "vg", "wanted_vgs"),
    [
        (16.0, 8.0, -4.0, 2.4e3, 1.5e3, 1.822785, -1.80168),
        (18.0, 6.0, -3.0, 1.8e3, 750.0, 1.5, -0.837722),
        (18.0, 6.0, -3.0, 1.5e3, 150.0, 1.5, 0.366600),
    ],
)
def test_divider_bias(
    vdd: float, idss_ma: float, pinch: float, rd: float, rs: float, vg: float, wanted_vgs: float
) -> None:
    rest = rest_of(
        [
            source("V1", "vdd", vdd),
            source("VG", "g", vg),
            resistor("RD", "vdd", "d", rd),
            resistor("RS", "s", GND, rs),
            field_effect("J1", "d", "g", "s", idss_a=idss_ma * 1e-3, threshold_v=pinch),
        ]
    )
    assert rest.volts("g") - rest.volts("s") == pytest.approx(wanted_vgs, abs=1e-5)


def test_field_effect_is_symmetric_and_obeys_the_triode_law() -> None:
    beta, threshold, vgs, vds = 8e-3 / 36.0, -6.0, -2.0, 1.5
    wanted = beta * (2 * (vgs - threshold) * vds - vds**2)
    for drain, gate, sign in ((vds, vgs, 1.0), (-vds, vgs - vds, -1.0)):
        rest = rest_of(
            [
                source("VD", "d", drain),
                source("VG", "g", gate),
                field_effect("J1", "d", "g", GND, threshold_v=threshold),
            ]
        )
        assert rest.amperes("J1") == pytest.approx(sign * wanted, rel=1e-9)


def test_bipolar_law_by_hand() -> None:
    vbe, vce, early, beta, leak = 0.65, 5.0, 60.0, 200.0, 1e-12
    rest = rest_of(
        [
            source("VB", "b", vbe),
            source("VC", "c", vce),
            bipolar("Q1", "c", "b", GND, early_v=early, forward_beta=beta, leak_a=leak),
        ]
    )
    ideal = 1e-14 * (np.exp(vbe / VT) - np.exp((vbe - vce) / VT))
    wanted = ideal * (1 + (vce - vbe) / early)
    assert rest.amperes("Q1") == pytest.approx(wanted, rel=1e-9)
    base = 1e-14 * np.expm1(vbe / VT) / beta + leak * np.expm1(vbe / (1.5 * VT))
    assert -rest.amperes("VB") == pytest.approx(base, rel=1e-6)


def matched_bipolar(polarity: int = 1) -> BipolarTransistor:
    """A transistor whose base-emitter voltage is 0.7 V at 1.321919 mA, as the example assumes."""
    saturation = 1.321919e-3 / np.expm1(0.7 / VT)
    return bipolar(
        "Q1", "c", "b", "e", polarity=polarity, saturation_a=saturation, forward_beta=90.0, reverse_beta=2.0
    )


@pytest.mark.parametrize("polarity", [1, -1])
def test_voltage_divider_bias(polarity: int) -> None:
    # 22 V, 56k/8.2k, RC 6.8k, RE 1.5k, beta 90, VBE 0.7: IB 14.68799 uA, VE 2.004911, VC 13.010949 V.
    rest = rest_of(
        [
            source("V1", "vcc", 22.0 * polarity),
            resistor("R1", "vcc", "b", 56e3),
            resistor("R2", "b", GND, 8.2e3),
            resistor("RC", "vcc", "c", 6.8e3),
            resistor("RE", "e", GND, 1.5e3),
            matched_bipolar(polarity),
        ]
    )
    assert rest.volts("e") * polarity == pytest.approx(2.004911, abs=2e-6)
    assert rest.volts("c") * polarity == pytest.approx(13.010949, abs=5e-6)


def test_small_signal_of_a_bipolar_is_ic_over_vt() -> None:
    parts = [source("VB", "b", 0.65), source("VC", "c", 5.0), bipolar("Q1", "c", "b", GND)]
    small, rest = small_of(parts), rest_of(parts)
    assert small.parameter("Q1/gm") == pytest.approx(rest.amperes("Q1") / VT, rel=1e-6)
    assert small.parameter("Q1/gpi") == pytest.approx(rest.amperes("Q1") / 200.0 / VT, rel=1e-6)


@pytest.mark.parametrize(("volts", "wanted"), [(9.0, 5.0), (7.5, 5.0), (6.0, 4.3), (4.0, 2.3), (0.0, 0.0)])
def test_regulator_regulates_drops_out_and_gives_up(volts: float, wanted: float) -> None:
    parts = [source("V1", "in", volts), regulator("U1", "in", "out"), resistor("RL", "out", GND, 1e3)]
    rest = rest_of(parts)
    assert rest.volts("out") == pytest.approx(wanted / 1.0001, abs=1e-4)
    assert rest.amperes("U1") == pytest.approx(-rest.amperes("V1"), abs=1e-12)
    assert rest.amperes("U1") == pytest.approx(rest.volts("out") / 1e3, rel=1e-6, abs=1e-12)


@pytest.mark.parametrize(("volts", "wanted_ma"), [(5.0, 1.4), (1.0, 1.4), (0.5, 1.05), (0.0, 0.0)])
def test_supply_draw_falls_below_its_knee(volts: float, wanted_ma: float) -> None:
    rest = rest_of([source("V1", "a", volts), draw("S1", "a", 1.4e-3)])
    assert -rest.amperes("V1") == pytest.approx(wanted_ma * 1e-3, rel=1e-9, abs=1e-15)


def test_inductance_is_a_short_and_capacitance_open_at_rest() -> None:
    rest = rest_of(
        [
            source("V1", "a", 9.0),
            inductor("L1", "a", "b", 2.0),
            resistor("R1", "b", GND, 1e3),
            resistor("R2", "b", "c", 1e3),
        ]
    )
    assert rest.volts("b") == pytest.approx(9.0, rel=1e-9)
    assert rest.amperes("L1") == pytest.approx(9e-3, rel=1e-9)


def test_controlled_source_sign() -> None:
    rest = rest_of(
        [
            source("V1", "a", 2.0),
            controlled("G1", "out", GND, "a", GND, 1e-3),
            resistor("R1", "out", GND, 1e3),
        ]
    )
    assert rest.volts("out") == pytest.approx(-2.0, rel=1e-12)


def test_temperature_moves_a_junction() -> None:
    parts = [current("I1", GND, "a", 1e-3), diode("D1", "a", GND, saturation_a=1e-14, emission=1.0)]
    for kelvin in (273.15, 330.0):
        wanted = thermal_voltage(kelvin) * np.log(1e-3 / 1e-14 + 1)
        assert rest_of(parts, kelvin).volts("a") == pytest.approx(wanted, rel=1e-9)
