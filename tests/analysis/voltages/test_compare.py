"""Verdicts on readings: inside and outside a band, where nothing is told, and which faults agree."""

import pytest

from pedalwright import circuits, read_text
from pedalwright.analysis.voltages import Verdict, compare_readings, supplies_read, voltage_table
from pedalwright.analysis.voltages.compare import meter_error_v

from .circuits_in_hand import DIVIDER, SPARE_SECTION, TURNED, package, table


def verdict(volts: float, text: str = DIVIDER) -> Verdict:
    found = voltage_table(read_text(text), measured={"V": 1.0}, meter_ohms=float("inf"))
    (one,) = compare_readings(found, f"A={volts:.4f}").readings
    return one.verdict


@pytest.mark.parametrize(
    ("volts", "wanted"),
    [
        (0.5, Verdict.FINE),
        (0.48, Verdict.FINE),
        (0.45, Verdict.LOW),
        (0.55, Verdict.HIGH),
        (0.0, Verdict.LOW),
    ],
)
def test_a_reading_is_fine_inside_the_band_and_its_meters_error(volts: float, wanted: Verdict) -> None:
    """The band of two 5 % parts ends at 0.475 and 0.525 V; the meter may be off by 0.5 % and 3 mV."""
    assert verdict(volts) is wanted
    assert meter_error_v(0.475) == pytest.approx(0.003 + 0.005 * 0.475)


def test_how_far_a_reading_is_off_is_told_in_volts_and_in_spreads() -> None:
    found = voltage_table(read_text(DIVIDER), measured={"V": 1.0}, meter_ohms=float("inf"))
    expected = found.nets["A"]
    (one,) = compare_readings(found, "A=0.60").readings
    assert expected.high_v is not None and expected.deviation_v is not None
    assert one.off_v == pytest.approx(0.60 - expected.high_v)
    spread = (expected.deviation_v**2 + (meter_error_v(0.6) / 2) ** 2) ** 0.5
    assert one.z == pytest.approx(0.1 / spread)
    assert "too high" in one.sentence and "times the usual spread" in one.sentence


def test_a_reading_that_can_say_nothing_says_nothing() -> None:
    found = voltage_table(read_text(SPARE_SECTION))
    compared = compare_readings(found, "LOOSE 3.3 U1.7 8.2")
    assert [one.verdict for one in compared.readings] == [Verdict.NOTHING] * 2
    assert compared.all_fine
    assert "any value is right" in compared.readings[0].sentence


def test_a_knob_elsewhere_excuses_a_reading_and_is_named() -> None:
    found = voltage_table(read_text(TURNED), measured={"V": 9.0}, meter_ohms=float("inf"))
    (one,) = compare_readings(found, "A=6.5").readings
    assert one.verdict is Verdict.FINE and "if LEVEL stands elsewhere" in one.sentence


def test_a_place_that_moves_may_read_anything_between_its_ends() -> None:
    found = table("duckpond-chorus")
    between, outside = compare_readings(found, "U3.7 4.0 U3.7 8.7").readings
    assert between.verdict is Verdict.FINE and "moves between" in between.sentence
    assert outside.verdict is Verdict.HIGH


def test_the_published_readings_of_the_echo_chip_are_all_fine() -> None:
    """One builder's readings of a working unit, 2019; the supply of the chip was 4.97 V."""
    text = "U2: 1=4.97 2=2.48 3=0 4=0.05 5=2.66 6=2.41 7=0.92 8=0.93 " + " ".join(
        f"{n}=2.48" for n in range(9, 17)
    )
    for measured in ({}, {"V5": 4.97}):
        found = voltage_table(package("lantern-echo"), measured=measured)
        compared = compare_readings(found, text)
        assert len(compared.readings) == 16
        assert [one.key for one in compared.wrong] == []


@pytest.mark.parametrize(
    ("circuit", "walk", "fault", "places"),
    [
        ("lantern-echo", "VB > R4 22k > gnd", "R4 open", ("VA", "VB", "U1.1", "U1.3", "U1.7", "U2.2")),
        ("plumtree-fuzz", "Q1.c > R2 2M2 > Q1.b", "R2 open", ("Q1.c", "Q1.b", "Q2.c")),
        ("doorbell-booster", None, "", ()),
    ],
)
def test_readings_of_a_circuit_written_with_a_fault_agree_with_that_fault(
    circuit: str, walk: str | None, fault: str, places: tuple[str, ...]
) -> None:
    text = circuits.text(circuit)
    supply = package(circuit).circuit.supplies[0].net
    good = voltage_table(read_text(text), measured={supply: 9.0}, builds=200)
    if walk is None:
        listed = " ".join(f"{row.place.key}={row.expected.typical_v:.3f}" for row in good.rows)
        compared = compare_readings(good, listed)
        assert compared.all_fine and compared.agree == ()
        return
    head, _, tail = walk.partition(" > ")
    whole = f" > {tail}" if not any(line.startswith(walk) for line in text.splitlines()) else walk
    broken = "\n".join(line.replace(whole, "", 1) if walk in line else line for line in text.splitlines())
    assert broken != text and head
    bad = voltage_table(read_text(broken), measured={supply: 9.0}, builds=2)
    listed = " ".join(f"{place}={bad.row(place).expected.typical_v:.3f}" for place in places)
    compared = compare_readings(good, listed)
    assert compared.wrong
    assert fault in compared.agree[:3]


def test_the_supply_that_was_read_is_what_the_bands_stand_on() -> None:
    analysis = package("lantern-echo")
    text = "VIN: 8.53 VB 4.0"
    assert supplies_read(analysis.circuit, text) == {"VIN": 8.53}
    found = voltage_table(analysis, measured=supplies_read(analysis.circuit, text))
    supply, half = compare_readings(found, text).readings
    # The supply itself is held against its own range, not against itself.
    assert supply.expected.low_v == pytest.approx(8.55)
    assert half.expected.high_v is not None and half.expected.high_v < 4.15
    # A dead supply is nothing to stand on.
    assert supplies_read(analysis.circuit, "VIN 0.02") == {}
    assert supplies_read(analysis.circuit, "VIN -9") == {}


def test_readings_are_refused_with_the_table() -> None:
    found = table("three-shelves-tone")
    compared = compare_readings(found, "IN 0.1")
    assert [one.verdict for one in compared.readings] == [Verdict.NOTHING]
