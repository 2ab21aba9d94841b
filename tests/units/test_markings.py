"""Markings of IEC 60062 in both directions, and every way of misreading them.

The worked colour rows, capacitor codes and letters follow the rules of the standard; the tolerances of
orange, yellow and grey, the codes 8 and 9 on capacitors and the E96 place codes are from memory.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pedalwright.units.markings import eia96, letter_code, number_codes, rated_voltage
from pedalwright.units.markings.colours import bands_of, read_bands
from pedalwright.units.markings.forms import markings_of, sheet_of
from pedalwright.units.markings.reading import explain_marking
from pedalwright.units.markings.tolerance import capacitor_tolerance, letter_of, resistor_tolerance
from pedalwright.units.preferred import Series
from pedalwright.units.values import Quantity, ValueMistake, parse_value

R, C, L = Quantity.RESISTANCE, Quantity.CAPACITANCE, Quantity.INDUCTANCE


@pytest.mark.parametrize(
    ("words", "ohms", "tolerance"),
    [
        ("yellow violet red gold", 4700.0, 0.05),
        ("brown black orange gold", 10e3, 0.05),
        ("yellow violet black brown brown", 4700.0, 0.01),
        ("brown black black red brown", 10e3, 0.01),
        ("orange white black red brown", 39e3, 0.01),
        ("red red gold gold", 2.2, 0.05),
        ("green blue silver silver", 0.56, 0.1),
        ("brown red pink red", 0.012, 0.02),
        ("yellow violet red", 4700.0, 0.2),
        ("red violet green yellow", 2.7e6, 0.0002),
        ("brown green brown orange", 150.0, 0.0005),
        ("white brown black grey", 91.0, 0.0001),
        ("YE VT RD GD", 4700.0, 0.05),
        ("Purple gray black silver", 78.0, 0.1),
    ],
)
def test_colour_bands(words: str, ohms: float, tolerance: float) -> None:
    reading = read_bands(tuple(words.split()))
    assert reading.ohms == ohms
    assert reading.tolerance.high == pytest.approx(tolerance)
    assert reading.tolerance.low == -reading.tolerance.high


def test_sixth_band_is_temperature() -> None:
    assert read_bands(("orange", "white", "black", "red", "brown", "red")).temperature_ppm == 50


@pytest.mark.parametrize(
    ("words", "part_of_reason"),
    [
        ("yellow violet", "2 bands"),
        ("yellow gold red gold", "Gold is no digit band"),
        ("yellow violet red black", "Black is no tolerance band"),
        ("mauve red red gold", "'mauve' is not a band colour"),
        ("red red red red red red red", "7 bands"),
        ("orange white black red brown white", "White is no temperature band"),
    ],
)
def test_impossible_bands(words: str, part_of_reason: str) -> None:
    with pytest.raises(ValueMistake, match=part_of_reason):
        read_bands(tuple(words.split()))


@given(
    member=st.sampled_from(Series.E96.members),
    decade=st.integers(-4, 6),
    tolerance=st.sampled_from([0.01, 0.02]),
)
def test_five_bands_there_and_back(member: int, decade: int, tolerance: float) -> None:
    ohms = float(f"{member}e{decade}")
    bands = bands_of(ohms, figures=3, tolerance=tolerance)
    if bands is None:
        assert decade < -3
    else:
        assert len(bands) == 5
        assert read_bands(bands).ohms == ohms and read_bands(bands).tolerance.high == pytest.approx(tolerance)


def test_two_figures_cannot_say_three() -> None:
    assert bands_of(4750.0) is None
    assert bands_of(4750.0, figures=3) == ("yellow", "violet", "green", "brown", "gold")
    assert bands_of(4700.0, tolerance=0.07) is None


@pytest.mark.parametrize(
    ("code", "farads"),
    [
        ("100", 10e-12), ("101", 100e-12), ("102", 1e-9), ("222", 2.2e-9), ("472", 4.7e-9), ("103", 10e-9),
        ("153", 15e-9), ("223", 22e-9), ("473", 47e-9), ("104", 100e-9), ("224", 220e-9), ("474", 470e-9),
        ("105", 1e-6), ("229", 2.2e-12), ("568", 0.56e-12),
    ],
)  # fmt: skip
def test_capacitor_code(code: str, farads: float) -> None:
    assert number_codes.read_capacitor_number(code) == pytest.approx(farads, rel=1e-12)
    assert number_codes.write_capacitor_number(farads) == code


@pytest.mark.parametrize(
    ("code", "figures", "ohms"),
    [("472", 2, 4700.0), ("4701", 3, 4700.0), ("100", 2, 10.0), ("1000", 3, 100.0), ("4993", 3, 499e3)],
)
def test_resistor_code(code: str, figures: int, ohms: float) -> None:
    assert number_codes.read_resistor_number(code) == ohms
    assert number_codes.write_resistor_number(ohms, figures) == code


@pytest.mark.parametrize(
    ("x", "quantity", "code"),
    [
        # IEC 60062:2016, table of examples.
        (0.47, R, "R47"), (4.7, R, "4R7"), (470.0, R, "470R"), (4700.0, R, "4K7"), (47e3, R, "47K"),
        (47.3e3, R, "47K3"), (470e3, R, "470K"), (4.7e6, R, "4M7"),
        # The same rule for capacitors, from memory.
        (4.7e-9, C, "4n7"), (470e-12, C, "n47"), (0.68e-12, C, "p68"), (2.2e-6, C, "2u2"),
        (100e-6, C, "100u"),
    ],
)  # fmt: skip
def test_letter_code(x: float, quantity: Quantity, code: str) -> None:
    assert letter_code.write_letter_code(x, quantity) == code
    assert parse_value(code, quantity) == x


@given(
    member=st.sampled_from(Series.E192.members),
    decade=st.integers(-3, 6),
    quantity=st.sampled_from([R, C, L]),
)
def test_letter_code_there_and_back(member: int, decade: int, quantity: Quantity) -> None:
    x = float(f"{member}e{decade if quantity is R else decade - 12}")
    code = letter_code.write_letter_code(x, quantity)
    if code is not None:
        assert parse_value(code, quantity) == x


@given(place=st.integers(1, 96), letter=st.sampled_from("ZYXABCDEF"))
def test_place_code_there_and_back(place: int, letter: str) -> None:
    ohms = eia96.read_place_code(f"{place:02d}{letter}")
    assert ohms is not None and eia96.write_place_code(ohms) == f"{place:02d}{letter}"


def test_place_code_from_a_makers_table() -> None:
    # 22A = 165 ohm and 68C = 49.9 kohm stand in makers' explanations; from memory.
    assert eia96.read_place_code("22A") == 165.0
    assert eia96.read_place_code("68C") == 49900.0
    assert eia96.read_place_code("97A") is None


@pytest.mark.parametrize(
    ("code", "volts"), [("0J", 6.3), ("1C", 16.0), ("1E", 25.0), ("1H", 50.0), ("2A", 100.0)]
)
def test_rated_voltage(code: str, volts: float) -> None:
    assert rated_voltage.read_rated_voltage(code) == pytest.approx(volts)
    assert rated_voltage.write_rated_voltage(volts) == code


def test_tolerance_letters() -> None:
    assert str(resistor_tolerance("F")) == "±1 %" and resistor_tolerance("Z") is None
    assert str(capacitor_tolerance("K", 47e-9)) == "±10 %"
    assert str(capacitor_tolerance("C", 4.7e-12)) == "±0.25 pF"
    assert str(capacitor_tolerance("C", 47e-12)) == "±0.25 %"
    lopsided = capacitor_tolerance("S", 1e-7)
    assert lopsided is not None and (lopsided.low, lopsided.high) == (-0.2, 0.5)
    assert letter_of(0.005) == "D" and letter_of(0.07) is None


def said(text: str) -> list[tuple[str, Quantity, float]]:
    return [(r.system, r.quantity, r.value) for r in explain_marking(text).readings]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("4k7", [("written value", R, 4700.0)]),
        ("473K", [("capacitor code", C, 47e-9), ("resistor code", R, 47e3), ("written value", R, 473e3)]),
        ("104M", [("capacitor code", C, 1e-7), ("resistor code", R, 1e5), ("written value", R, 104e6)]),
        (
            "100",
            [("resistor code", R, 10.0), ("capacitor code", C, 10e-12), ("written value", R, 100.0),
             ("plain picofarads", C, 100e-12)],
        ),
        ("4R7C", [("capacitor code", C, 4.7e-12), ("letter code", R, 4.7)]),
        ("2A473J", [("capacitor code", C, 47e-9)]),
        ("68X", [("E96 place code", R, 49.9)]),
        ("47n", [("written value", C, 47e-9), ("written value", L, 47e-9)]),
        ("black", [("wire link", R, 0.0)]),
        ("gold red violet yellow", [("4-band colours, from the other end", R, 4700.0)]),
        (
            "brown-black-black-red-brown",
            [("5-band colours", R, 10e3), ("5-band colours, from the other end", R, 120.0)],
        ),
    ],
)  # fmt: skip
def test_every_reading_is_listed(text: str, expected: list[tuple[str, Quantity, float]]) -> None:
    assert said(text) == expected


def test_readings_carry_tolerance_voltage_and_series() -> None:
    film = explain_marking("2A473J").readings[0]
    assert str(film.tolerance) == "±5 %" and film.rated_v == 100.0 and film.series is Series.E3
    assert explain_marking("100").readings[2].series is Series.E3
    assert explain_marking("4702").readings[1].series is None


@pytest.mark.parametrize("text", ["", "  ", "hello", "4,7k", "x" * 500, "\x1b[31m", "4²", "yellow violet"])
def test_refused_markings_say_what_to_give(text: str) -> None:
    with pytest.raises(ValueMistake) as caught:
        explain_marking(text)
    assert caught.value.cure.startswith(("Give", "Write"))
    assert "\x1b" not in str(caught.value)


@given(text=st.text(max_size=40))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        assert explain_marking(text).readings
    except ValueMistake as mistake:
        assert "." in mistake.reason and "." in mistake.cure  # noqa: PT017


def test_forms_and_decade_slips() -> None:
    sheet = sheet_of(4700.0, R)
    assert sheet.tenth is not None and sheet.tenfold is not None
    assert {form.system: form.marking for form in sheet.value.forms} == {
        "4-band colours, the first 3": "yellow violet red",
        "5-band colours, the first 4": "yellow violet black brown",
        "3-digit code": "472",
        "4-digit code": "4701",
        "letter code": "4K7",
        "E96 place code": None,
    }
    assert sheet.tenth.value == 470.0 and sheet.tenth.forms[0].marking == "yellow violet brown"
    assert sheet.tenfold.value == 47e3 and sheet.tenfold.forms[2].marking == "473"


def test_capacitor_forms() -> None:
    forms = {form.system: form.marking for form in markings_of(47e-9, C).forms}
    assert forms == {
        "3-digit code": "473", "letter code": "47n", "in pF": "47000 pF", "in nF": "47 nF",
        "in µF": "0.047 µF",
    }  # fmt: skip


def test_zero_has_no_neighbours() -> None:
    sheet = sheet_of(0.0, R)
    assert sheet.tenth is None and sheet.value.forms[0].marking == "black"


def test_only_parts_have_markings() -> None:
    with pytest.raises(ValueMistake, match="not marked on parts"):
        markings_of(9.0, Quantity.VOLTAGE)
