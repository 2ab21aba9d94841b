"""Diode and transistor cards against what their data sheets print, and against published curves."""

import pytest
from scipy.optimize import brentq

from pedalwright.circuit.primitives import FieldEffectTransistor, Resistance
from pedalwright.devices.catalogue import device
from tests.devices.bench import amperes_into, expand, forward_v, part, rest, volts

# Forward voltages of the card Is 2.52 nA, n 1.752, Rs 0.568 ohm from Banwell and Jayakumar's closed form
# (Electronics Letters 36(4), 2000) at 300.15 K.
CLOSED_FORM_1N4148 = {
    1e-6: 0.27126, 1e-5: 0.37550, 1e-4: 0.47989, 1e-3: 0.58474, 5e-3: 0.65994, 10e-3: 0.69419, 0.1: 0.84966,
}  # fmt: skip


@pytest.mark.parametrize(("current_a", "expected_v"), CLOSED_FORM_1N4148.items())
def test_small_signal_diode_follows_the_closed_form(current_a: float, expected_v: float) -> None:
    assert forward_v("silicon-diode", "1N4148", current_a) == pytest.approx(expected_v, abs=1e-5)


# (kind, type, current, lowest, highest forward voltage, source)
SHEETS = [
    ("silicon-diode", "1N4148", 10e-3, 0.55, 1.0, "Vishay 81857 rev 1.3"),
    ("silicon-diode", "1N4448", 5e-3, 0.62, 0.72, "Fairchild rev B2, 2007"),
    ("silicon-diode", "1N4001", 1.0, 0.7, 1.1, "Fairchild 2014"),
    ("schottky-diode", "1N5817", 1.0, 0.415, 0.425, "International Rectifier PD-20646: 0.42 V typical"),
    ("schottky-diode", "1N5817", 3.0, 0.42, 0.75, "International Rectifier PD-20646"),
    ("schottky-diode", "1N5818", 1.0, 0.3, 0.55, "from memory"),
    ("schottky-diode", "1N5819", 1.0, 0.3, 0.60, "from memory"),
    ("schottky-diode", "BAT41", 1e-3, 0.2, 0.45, "from memory"),
    ("schottky-diode", "BAT41", 0.2, 0.4, 1.0, "from memory"),
    ("schottky-diode", "BAT46", 10e-3, 0.2, 0.45, "from memory"),
    ("schottky-diode", "BAT46", 0.25, 0.4, 1.0, "from memory"),
    ("germanium-diode", "1N34A", 5e-3, 0.2, 1.0, "from memory"),
    ("germanium-diode", "1N60", 4e-3, 0.2, 1.0, "from memory"),
    ("germanium-diode", "1N270", 0.2, 0.4, 1.0, "from memory"),
    ("led", "red", 20e-3, 2.19, 2.21, "Kingbright WP7113SEC/J3: 2.2 V typical"),
    ("led", "blue", 20e-3, 3.19, 3.21, "C503B sheet: 3.2 V typical"),
    ("led", "red", 1e-3, 1.6, 1.9, "from memory"),
    ("led", "blue", 1e-3, 2.5, 3.0, "from memory"),
]


@pytest.mark.parametrize(("kind", "name", "current_a", "low_v", "high_v", "source"), SHEETS)
def test_forward_voltage_lies_within_the_sheet(
    kind: str, name: str, current_a: float, low_v: float, high_v: float, source: str
) -> None:
    assert low_v <= forward_v(kind, name, current_a) <= high_v, source


# Series polarity diodes at pedal currents, from the circulated cards (300.15 K).
@pytest.mark.parametrize(
    ("kind", "name", "current_a", "drop_v"),
    [
        ("silicon-diode", "1N4001", 10e-3, 0.6916),
        ("silicon-diode", "1N4001", 100e-3, 0.8128),
        ("schottky-diode", "1N5817", 10e-3, 0.2050),
        ("schottky-diode", "1N5817", 100e-3, 0.2912),
    ],
)
def test_polarity_diode_drop_at_pedal_currents(kind: str, name: str, current_a: float, drop_v: float) -> None:
    assert forward_v(kind, name, current_a) == pytest.approx(drop_v, abs=2e-4)


# Yeh, Abel and Smith, DAFx-07: 2.2 kohm into two diodes of 2.52 nA, n Vt 45.3 mV; static values. The card's
# 0.568 ohm is not in the paper's model and adds at most a quarter of a millivolt here.
@pytest.mark.parametrize(
    ("drive_v", "clipped_v"), [(0.3, 0.296169777), (0.5, 0.428654543), (1.0, 0.515436430)]
)
def test_two_diodes_clip_as_in_the_published_limiter(drive_v: float, clipped_v: float) -> None:
    up = part("silicon-diode", "D1", type="1N4148", pins={"1": "A", "2": "gnd"})
    down = part("silicon-diode", "D2", type="1N4148", pins={"1": "gnd", "2": "A"})
    series = Resistance(owner="R1", name="R1", a="IN", b="A", ohms=2200.0)
    found = rest([*expand(up, down), series, volts("IN", drive_v)])
    assert found.volts("A") == pytest.approx(clipped_v, abs=3e-4)


def test_zener_holds_its_voltage_with_its_slope_resistance() -> None:
    # JEDEC 1N4733: 5.1 V at 49 mA, 7 ohm there (from memory); the slope is taken over 1 mA either way.
    def reverse_v(current_a: float) -> float:
        return -forward_v("zener-diode", "1N4733", -current_a)

    assert reverse_v(49e-3) == pytest.approx(5.1, abs=1e-6)
    assert (reverse_v(50e-3) - reverse_v(48e-3)) / 2e-3 == pytest.approx(7.0, rel=0.01)
    assert forward_v("zener-diode", "1N4733", 10e-3) == pytest.approx(0.78, abs=0.1)


def current_gain(kind: str, name: str, collector_a: float, collector_emitter_v: float) -> float:
    """Collector over base current at a stated collector current, as the sheets measure it."""
    sign = 1 if kind == "npn" else -1
    transistor = expand(part(kind, "Q1", type=name, pins={"c": "C", "b": "B", "e": "gnd"}))

    def collector_current(base_a: float) -> float:
        found = rest([*transistor, volts("C", sign * collector_emitter_v), amperes_into("B", sign * base_a)])
        return -sign * found.amperes("source C")

    low_a, high_a = collector_a / 5000, collector_a / 5
    return float(collector_a / brentq(lambda base_a: collector_current(base_a) - collector_a, low_a, high_a))


# (kind, type, collector current, collector-emitter voltage, least, most current gain, source)
GAINS = [
    ("npn", "2N3904", 0.1e-3, 1.0, 40, 400, "Fairchild 2N3904 sheet, 2001"),
    ("npn", "2N3904", 1e-3, 1.0, 70, 400, "Fairchild 2N3904 sheet, 2001"),
    ("npn", "2N3904", 10e-3, 1.0, 100, 300, "Fairchild 2N3904 sheet, 2001"),
    ("pnp", "2N3906", 0.1e-3, 1.0, 60, 400, "Fairchild 2N3906 sheet, 2010"),
    ("pnp", "2N3906", 10e-3, 1.0, 100, 300, "Fairchild 2N3906 sheet, 2010"),
    ("npn", "2N5088", 0.1e-3, 5.0, 300, 900, "ON Semiconductor 2N5088/D"),
    ("npn", "2N5088", 1e-3, 5.0, 350, 1400, "ON Semiconductor 2N5088/D"),
    ("npn", "BC547B", 2e-3, 5.0, 200, 450, "from memory"),
    ("npn", "BC547C", 2e-3, 5.0, 420, 800, "from memory"),
    ("pnp", "BC557B", 2e-3, 5.0, 220, 475, "from memory"),
    ("npn", "2N2222", 10e-3, 10.0, 75, 300, "from memory"),
    ("pnp", "AC128", 10e-3, 1.0, 55, 175, "from memory"),
]


@pytest.mark.parametrize(("kind", "name", "collector_a", "across_v", "least", "most", "source"), GAINS)
def test_current_gain_lies_within_the_sheet(
    kind: str, name: str, collector_a: float, across_v: float, least: float, most: float, source: str
) -> None:
    assert least <= current_gain(kind, name, collector_a, across_v) <= most, source


def test_measured_gain_is_the_gain() -> None:
    # beta= is the ideal gain; the Early effect, 74 V, raises it by 1/74 per collector-base volt.
    pins = {"c": "C", "b": "B", "e": "gnd"}
    transistor = part("npn", "Q1", type="2N3904", options=(("beta", "150"),), pins=pins)
    found = rest([*expand(transistor), volts("C", 0.7), amperes_into("B", 10e-6)])
    assert -found.amperes("source C") == pytest.approx(150 * 10e-6, rel=0.01)


def test_base_voltage_is_within_the_sheet() -> None:
    # Fairchild 2N3904 sheet, 2001, 10 mA 1 mA of base current: base 0.65 to 0.85 V, collector at most 0.2 V.
    transistor = part("npn", "Q1", type="2N3904", pins={"c": "C", "b": "B", "e": "gnd"})
    found = rest([*expand(transistor), amperes_into("C", 10e-3), amperes_into("B", 1e-3)])
    assert 0.65 <= found.volts("B") <= 0.85
    assert 0.0 < found.volts("C") <= 0.2


def test_germanium_leaks_hundreds_of_microamperes_with_its_base_open() -> None:
    # Common practice, no source: some 50 to 500 uA at room temperature.
    transistor = part("pnp", "Q1", type="AC128", pins={"c": "C", "b": "B", "e": "gnd"})
    found = rest([*expand(transistor), volts("C", -9.0)])
    assert 50e-6 <= found.amperes("source C") <= 500e-6


def test_2n5457_reproduces_its_typical_sheet_points() -> None:
    # Motorola 2N5457/D, 1996: IDSS 1/3/5 mA at 15 V; gate -2.5 V typical at 100 uA, at most -6 V at 10 nA;
    # forward transfer 1 to 5 mS.
    transistor = part("n-jfet", "Q1", type="2N5457", pins={"d": "D", "g": "G", "s": "gnd"})

    def drain_a(gate_v: float) -> float:
        return -rest([*expand(transistor), volts("D", 15.0), volts("G", gate_v)]).amperes("source D")

    assert drain_a(0.0) == pytest.approx(3e-3, rel=0.06)
    assert drain_a(-2.5) == pytest.approx(100e-6, rel=0.08)
    assert drain_a(-6.0) < 10e-9
    assert 1e-3 <= (drain_a(0.0) - drain_a(-0.01)) / 0.01 <= 5e-3


# (type, IDSS least, most [A], pinch-off least, most [V]); 2N5457 Motorola 1996, the rest from memory
SPREADS = [
    ("n-jfet", "2N5457", 1e-3, 5e-3, 0.5, 6.0), ("n-jfet", "2N5458", 2e-3, 9e-3, 1.0, 7.0),
    ("n-jfet", "2N5459", 4e-3, 16e-3, 2.0, 8.0), ("n-jfet", "J201", 0.2e-3, 1e-3, 0.3, 1.5),
    ("n-jfet", "J111", 20e-3, 1.0, 3.0, 10.0), ("n-jfet", "J112", 5e-3, 1.0, 1.0, 5.0),
    ("n-jfet", "J113", 2e-3, 1.0, 0.5, 3.0), ("n-jfet", "MPF102", 2e-3, 20e-3, 0.5, 8.0),
    ("n-jfet", "2N5484", 1e-3, 5e-3, 0.3, 3.0), ("n-jfet", "2N5485", 4e-3, 10e-3, 0.5, 4.0),
    ("n-jfet", "2N5486", 8e-3, 20e-3, 2.0, 6.0), ("p-jfet", "2N5460", 1e-3, 5e-3, 0.75, 6.0),
    ("p-jfet", "2N5461", 2e-3, 9e-3, 1.0, 7.5), ("p-jfet", "2N5462", 4e-3, 16e-3, 1.8, 9.0),
    ("p-jfet", "J175", 7e-3, 60e-3, 3.0, 6.0), ("p-jfet", "J176", 2e-3, 25e-3, 1.0, 4.0),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "name", "least_a", "most_a", "least_v", "most_v"), SPREADS)
def test_jfet_card_lies_within_the_spread_of_its_type(
    kind: str, name: str, least_a: float, most_a: float, least_v: float, most_v: float
) -> None:
    card = device(kind).types[name]
    assert least_a <= card["idss_a"].value <= most_a
    assert least_v <= card["pinch_off_v"].value <= most_v


def test_2n7000_has_its_transconductance() -> None:
    # 320 mS typical at 200 mA (from memory): for a square law gm = 2 sqrt(beta I).
    (channel,) = (
        primitive
        for primitive in expand(part("n-mosfet", "Q1", type="2N7000", pins={"d": "D", "g": "G", "s": "gnd"}))
        if isinstance(primitive, FieldEffectTransistor)
    )
    assert 2 * (channel.beta * 0.2) ** 0.5 == pytest.approx(0.32, rel=0.01)
