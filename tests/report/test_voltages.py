"""Voltages in words: figures as a meter shows them, and nothing told twice."""

import pytest

from pedalwright.analysis.voltages import Expected, State, Suspect, compare_readings
from pedalwright.report.voltages_document import voltages_document
from pedalwright.report.voltages_json import voltages_data
from pedalwright.report.voltages_sentences import cells, should_be, some, volts, wrong_if
from tests.analysis.voltages.circuits_in_hand import table


@pytest.mark.parametrize(
    ("value", "text"),
    [(4.2261, "4.23 V"), (-0.0003, "0.00 V"), (-0.02, "-0.02 V"), (None, "-"), (12.0, "12.00 V")],
)
def test_volts_are_written_as_a_meter_shows_them(value: float | None, text: str) -> None:
    assert volts(value) == text


def test_a_row_says_what_kind_of_reading_it_is() -> None:
    steady = Expected(state=State.STEADY, low_v=1.0, typical_v=1.5, high_v=2.0)
    moving = Expected(state=State.MOVES, low_v=0.5, typical_v=1.5, high_v=2.5, swing_v=(1.0, 2.0))
    assert cells(steady) == ("1.00 V", "1.50 V", "2.00 V")
    assert cells(moving) == ("0.50 V", "1.00 .. 2.00 V", "2.50 V")
    assert cells(Expected(state=State.MOVES)) == ("-", "moves", "-")
    assert cells(Expected(state=State.ANYTHING)) == ("-", "any value", "-")
    small = Expected(state=State.STEADY, low_v=0.0661, typical_v=0.07, high_v=0.0739)
    assert should_be(small) == "66 to 74 mV"
    assert should_be(steady) == "1.00 to 2.00 V" and should_be(Expected(state=State.ANYTHING)) == "any value"


def test_wrong_readings_are_told_with_their_faults_and_what_is_known() -> None:
    suspects = (
        Suspect(volts=0.0, faults=("R1 open",), parts=("R1",)),
        Suspect(volts=9.0, faults=("R1 shorted", "R2 open"), parts=("R1", "R2")),
    )
    told = wrong_if(Expected(state=State.STEADY, suspects=suspects, facts=("low: a leak",)))
    assert told == "0.00 V: R1 open; 9.00 V: R1 shorted, or R2 open. Low: a leak"
    assert wrong_if(Expected(state=State.STEADY)) == ""


def test_many_faults_are_cut_short_with_their_number() -> None:
    assert some(tuple("abc")) == ("a", "b", "c")
    assert some(tuple("abcdefgh"))[-1] == "and 3 more"


@pytest.mark.parametrize("name", ["lantern-echo", "duckpond-chorus", "plumtree-fuzz", "three-shelves-tone"])
def test_every_place_stands_in_the_document_once_under_its_group(name: str) -> None:
    found = table(name)
    document = voltages_document(found, to_write_in=True)
    told = [
        (row[0], section.heading)
        for section in document.sections
        for block in section.blocks
        for row in getattr(block, "rows", ())
        if section.anchor.startswith("pins")
    ]
    assert told == [(row.place.key, row.place.group) for row in found.rows]
    anchors = [section.anchor for section in document.sections]
    assert len(anchors) == len(set(anchors))


def test_data_of_a_comparison_has_a_verdict_for_each_reading() -> None:
    found = table("lantern-echo")
    compared = compare_readings(found, "VB 0.02 U2.1 5 hum")
    data = voltages_data(found, compared)
    assert [one["verdict"] for one in data["readings"]] == ["low", "fine"]
    assert data["not_understood"] == [{"text": "hum", "reason": "no pin, net or voltage of this circuit"}]
    assert voltages_data(found)["readings"] is None
