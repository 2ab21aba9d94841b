"""Values as written: IEC 60062 letters, SI prefixes, and every way of getting one wrong."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pedalwright.units.values import Quantity, ValueMistake, parse_value, print_value, write_value

R, C, L, V = Quantity.RESISTANCE, Quantity.CAPACITANCE, Quantity.INDUCTANCE, Quantity.VOLTAGE


@pytest.mark.parametrize(
    ("text", "quantity", "expected"),
    [
        # IEC 60062:2016 letter code, table of resistor examples.
        ("R47", R, 0.47), ("4R7", R, 4.7), ("470R", R, 470.0), ("4K7", R, 4700.0), ("47K", R, 47000.0),
        ("47K3", R, 47300.0), ("470K", R, 470000.0), ("4M7", R, 4.7e6), ("3L9", R, 3.9e-3),
        # The same for capacitors: standard rule, from memory.
        ("4n7", C, 4.7e-9), ("n47", C, 470e-12), ("p68", C, 0.68e-12), ("2u2", C, 2.2e-6), ("1m5", C, 1.5e-3),
        # Builders' habits: common practice, no source.
        ("4.7k", R, 4700.0), ("33", R, 33.0), ("10kΩ", R, 1e4), ("10 kohm", R, 1e4), ("2.2\u2126", R, 2.2),
        ("100u", C, 1e-4), ("100uF", C, 1e-4), ("100µF", C, 1e-4), ("100\u03bcF", C, 1e-4),
        ("100NF", C, 1e-7),
        (".047u", C, 4.7e-8), ("4.7e-9", C, 4.7e-9), ("0", R, 0.0), ("0R", R, 0.0), ("22pF", C, 2.2e-11),
        ("3.4H", L, 3.4), ("4H7", L, 4.7), ("10mH", L, 1e-2), ("9V", V, 9.0), ("-9V", V, -9.0),
        ("5V1", V, 5.1),
        ("6.734f", Quantity.CURRENT, 6.734e-15), ("20mA", Quantity.CURRENT, 0.02),
        ("1.5kHz", Quantity.FREQUENCY, 1500.0), ("1k5", Quantity.FREQUENCY, 1500.0),
        ("60ms", Quantity.TIME, 0.06),
        ("-3 dB", Quantity.DECIBEL, -3.0), ("5%", Quantity.FRACTION, 0.05), ("0.05", Quantity.FRACTION, 0.05),
        ("200", Quantity.NUMBER, 200.0), ("250mW", Quantity.POWER, 0.25), ("25C", Quantity.TEMPERATURE, 25.0),
    ],
)  # fmt: skip
def test_reads_as_written(text: str, quantity: Quantity, expected: float) -> None:
    assert parse_value(text, quantity) == expected


@pytest.mark.parametrize(
    ("text", "quantity", "reason", "cure"),
    [
        ("", R, "missing", "4k7"),
        ("   ", C, "missing", "2n2"),
        ("4,7k", R, "comma", "4.7k"),
        ("1.000.000", R, "more than one point", "4k7"),
        ("4k7k", R, "two multipliers", "Keep one"),
        ("1kk", R, "two multipliers", "Keep one"),
        ("4.7k5", R, "both a decimal point and a letter", "one of the two"),
        ("4uF7", C, "more than one letter", "2n2"),
        ("10k", C, "'k' (kilo) is not used with a capacitance", "2n2"),
        ("10k", L, "not used with an inductance", "10m"),
        ("10u", R, "'u' (micro) is not used with a resistance", "4k7"),
        ("10uF", R, "is a capacitance, but a resistance belongs", "4k7"),
        ("9V", R, "is a voltage, but a resistance belongs", "4k7"),
        ("100MF", C, "microfarad (old drawings)", "100u"),
        ("100mfd", C, "microfarad (old drawings)", "100u"),
        ("10f", C, "femto or farad", "write F"),
        ("100", C, "does not say of what", "100p, 100n, 100u or 100F"),
        ("0.047", C, "does not say of what", "0.047u"),
        ("1meg", R, "not a multiplier", "Write M for mega"),
        ("-5k", R, "negative", "leave the minus away"),
        ("inf", R, "not a finite number", "4k7"),
        ("NaN", V, "not a finite number", "9V"),
        ("1e999", R, "too large", "Check the multiplier"),
        ("1e-999", R, "too small", "Check the multiplier"),
        ("100M", C, "not used with a capacitance", "2n2"),
        ("kilo", R, "no digits", "4k7"),
        ("4q7", R, "'q' is not a known unit or multiplier", "4k7"),
        ("4k7 10k", R, "not one value", "4k7"),
        ("1" * 5000, R, "too long", "4k7"),
        ("\u0664k", R, "no digits", "4k7"),
        ("4\x1b[31mk", R, "", "4k7"),
    ],
)
def test_says_what_is_wrong_and_what_to_write(text: str, quantity: Quantity, reason: str, cure: str) -> None:
    with pytest.raises(ValueMistake) as caught:
        parse_value(text, quantity)
    assert reason.lower() in caught.value.reason.lower()
    assert cure.lower() in caught.value.cure.lower()
    assert caught.value.reason.endswith(".") and caught.value.cure.endswith(".")
    assert "\x1b" not in str(caught.value)


@given(text=st.text(max_size=80), quantity=st.sampled_from(Quantity))
def test_any_text_is_read_or_refused(text: str, quantity: Quantity) -> None:
    try:
        assert math.isfinite(parse_value(text, quantity))
    except ValueMistake as mistake:
        assert "." in mistake.reason and "." in mistake.cure  # noqa: PT017


@given(
    text=st.text(alphabet="0123456789.eE+-kKMmunpfRFHVAsΩµ %", max_size=12),
    quantity=st.sampled_from(Quantity),
)
def test_any_near_value_is_read_or_refused(text: str, quantity: Quantity) -> None:
    try:
        value = parse_value(text, quantity)
    except ValueMistake:
        return
    assert value == 0 or quantity.value.smallest <= abs(value) <= quantity.value.largest


@given(data=st.data(), quantity=st.sampled_from(Quantity))
def test_writing_reads_back_exactly(data: st.DataObject, quantity: Quantity) -> None:
    facts = quantity.value
    x = data.draw(st.floats(facts.smallest, facts.largest))
    try:
        text = write_value(x, quantity)
        assert parse_value(text, quantity) == x
    except ValueMistake as mistake:
        # Seventeen figures over a wide range can outgrow the longest text a value may have.
        assert "too long" in mistake.reason  # noqa: PT017


@given(digits=st.integers(10, 999), decade=st.integers(-12, 6), quantity=st.sampled_from([R, C, L]))
def test_purchasable_values_read_back_exactly(digits: int, decade: int, quantity: Quantity) -> None:
    x = float(f"{digits}e{decade}")
    if quantity.value.smallest <= x <= quantity.value.largest:
        assert parse_value(write_value(x, quantity), quantity) == x


@pytest.mark.parametrize(
    ("x", "quantity", "text"),
    [
        (4700.0, R, "4k7"), (0.47, R, "0R47"), (47.0, R, "47R"), (1e6, R, "1M"), (47300.0, R, "47k3"),
        (2.2e-9, C, "2n2"), (1e-4, C, "100u"), (4.7e-13, C, "0p47"), (1.0, C, "1F"), (3.4, L, "3H4"),
        (9.0, V, "9V"), (-0.1, V, "-100mV"), (0.06, Quantity.TIME, "60ms"), (0.05, Quantity.FRACTION, "5%"),
        (-3.5, Quantity.DECIBEL, "-3.5dB"), (12345.0, Quantity.FREQUENCY, "12.345kHz"),
    ],
)  # fmt: skip
def test_writes_like_a_builder(x: float, quantity: Quantity, text: str) -> None:
    assert write_value(x, quantity) == text


@pytest.mark.parametrize("x", [math.inf, -math.inf, math.nan])
def test_refuses_to_write_what_is_no_value(x: float) -> None:
    with pytest.raises(ValueError, match="cannot be written"):
        write_value(x, R)


@pytest.mark.parametrize(
    ("x", "unit", "text", "ascii_text"),
    [
        (4700, "Ω", "4.7 kΩ", "4.7 kohm"), (4700, "ohm", "4.7 kΩ", "4.7 kohm"),
        (2.2e-9, "F", "2.2 nF", "2.2 nF"),
        (34.13, "Hz", "34.1 Hz", "34.1 Hz"), (999.94, "Hz", "1 kHz", "1 kHz"),
        (999.4, "Hz", "999 Hz", "999 Hz"),
        (1e-4, "F", "100 µF", "100 uF"), (-45.123, "°", "-45.1°", "-45.1deg"), (0.0, "V", "0 V", "0 V"),
        (-3.0103, "dB", "-3.01 dB", "-3.01 dB"), (-115.862, "dB", "-116 dB", "-116 dB"),
        (-1e-5, "dB", "0 dB", "0 dB"), (12.345e-9, "V/√Hz", "12.3 nV/√Hz", "12.3 nV/rtHz"),
        (12345, "s", "12345 s", "12345 s"), (math.nan, "V", "not known", "not known"),
        (-math.inf, "dB", "-infinite dB", "-infinite dB"), (0.0154, "V rms", "15.4 mV rms", "15.4 mV rms"),
    ],
)  # fmt: skip
def test_prints_for_reading(x: float, unit: str, text: str, ascii_text: str) -> None:
    assert print_value(x, unit) == text
    assert print_value(x, unit, ascii_only=True) == ascii_text
    assert ascii_text.isascii()


def test_figures_can_be_asked_for() -> None:
    assert print_value(1591.549431, "Hz", figures=5) == "1.5915 kHz"
