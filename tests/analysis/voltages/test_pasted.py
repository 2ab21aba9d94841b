"""Pasted lists as forums have them: every piece understood, or named with the reason why it was not."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pedalwright.analysis.voltages import Verdict, compare_readings, supplies_read
from pedalwright.analysis.voltages.pasted import PastedList, UnknownChip, read_pasted
from pedalwright.analysis.voltages.pasted_words import LONGEST_TEXT, tokens

from .circuits_in_hand import package, table

ECHO = "lantern-echo"


def understood(text: str, chip: str = "", name: str = ECHO) -> dict[str, float]:
    """The readings of a list by place; everything in it must have been understood."""
    found = read(text, chip, name)
    assert found.not_understood == ()
    return {one.key: one.volts for one in found.readings}


def read(text: str, chip: str = "", name: str = ECHO) -> PastedList:
    return read_pasted(package(name).circuit, text, chip)


@pytest.mark.parametrize(
    "text",
    [
        "U2.1=4.97 U2.2=2.48",
        "U2: 1=4.97 2=2.48",
        "U2 1=4,97 2=2,48",
        "U2 1 = 4.97V; 2 = 2.48V",
        "u2 pin 1: 4.97 v\nU2 pin 2: 2480 mV",
        "IC2\n1 4.97\n2 2.48",
        "IC2 1) 4.97 2) 2.48 volts",
        "U2-1 4.97 U2-2 2.48",
        "U2.1 - 4.97, U2.2 - 2.48",
        "U2pin1: 4V97 U2p2: 2V48",
        "| U2.1 | 4.97 |\n| U2.2 | 2.48 |",
        "U2 1-4.97 2-2.48",
        "U2 1:4.97,2:2.48",
        "U2 pin1 reads 4.97 and pin2 reads about 2.48 vdc",
        "U2 vcc 4.97 ref 2.48",
        "U2 1=+4.97 2=~2.48",
        "1=4.97 2=2.48",
        "**U2** pin 1 = `4.97V`, pin 2 = `2.48V`".replace("`", "'"),
    ],
)
def test_many_ways_to_write_the_same_two_readings(text: str) -> None:
    assert understood(text) == {"U2.1": pytest.approx(4.97), "U2.2": pytest.approx(2.48)}


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("VB 4.4", {"VB": 4.4}),
        ("vb=4.4 Va: 8.9", {"VB": 4.4, "VA": 8.9}),
        ("V5 4.98", {"V5": 4.98}),
        ("U1a.out 4.5 U1b-out 4.4", {"U1.1": 4.5, "U1.7": 4.4}),
        ("U1a out 4.5 inv 4.4", {"U1.1": 4.5, "U1.2": 4.4}),
        ("U1.4 0", {"U1.4": 0.0}),
        ("U1.4 -0.02", {"U1.4": -0.02}),
        ("U2 9 .92", {"U2.9": 0.92}),
        ("ground 0 gnd 0.01V", {"gnd": 0.01}),
        ("TIME 1 2.0 2 0", {"TIME.1": 2.0, "TIME.2": 0.0}),
        ("R12.1 2.2", {"R12.1": 2.2}),
        ("13 2.5 15=2.51", {"U2.13": 2.5, "U2.15": 2.51}),
        ("1=5,2=3", {"U2.1": 5.0, "U2.2": 3.0}),
        ("1=4.97,2=2.48", {"U2.1": 4.97, "U2.2": 2.48}),
        ("1: 4,97, 2: 2,48", {"U2.1": 4.97, "U2.2": 2.48}),
        ("U1.8 8900mV", {"U1.8": 8.9}),
        ("VIN = 9V", {"VIN": 9.0}),
        ("U1 (TL072) 1 4.2", {"U1.1": 4.2}),
        ("TL072 pin 1: 4.2", {"U1.1": 4.2}),
        ("regulator out 5.0 in 8.9", {"U3.out": 5.0, "U3.in": 8.9}),
        ("getting 9v on pin 14 and 8.8 V at VA", {"U2.14": 9.0, "VA": 8.8}),
        ("4.4V on VB U2 6 2.2", {"VB": 4.4, "U2.6": 2.2}),
    ],
)
def test_places_by_every_name_they_go_by(text: str, wanted: dict[str, float]) -> None:
    assert understood(text) == pytest.approx(wanted)


def test_transistor_legs_follow_their_transistor() -> None:
    found = understood("Q1 C 4.2 B 0.65 E 0.05\nQ2: c=4.5 b=1.5 e=0.9", name="plumtree-fuzz")
    wanted = {"Q1.c": 4.2, "Q1.b": 0.65, "Q1.e": 0.05, "Q2.c": 4.5, "Q2.b": 1.5, "Q2.e": 0.9}
    assert found == pytest.approx(wanted)
    assert understood("T1-c 4.2 TR2.e 0.9", name="plumtree-fuzz") == pytest.approx({"Q1.c": 4.2, "Q2.e": 0.9})


def test_a_number_alone_belongs_to_the_chip_that_has_them_all() -> None:
    # Pins beyond 8 exist on the echo chip alone, and then all bare numbers are its.
    assert set(understood("3=0 4=0 14=2.5")) == {"U2.3", "U2.4", "U2.14"}
    assert set(understood("3=4 4=0", chip="U1")) == {"U1.3", "U1.4"}
    assert set(understood("3=4 4=0", name="kilnhouse-drive")) == {"U1.3", "U1.4"}


def test_where_two_chips_have_the_pin_it_is_said_what_was_taken_or_asked() -> None:
    taken = read("1=4.97 2=2.48")
    assert [one.key for one in taken.readings] == ["U2.1", "U2.2"]
    assert "taken as those of U2, the echo chip" in taken.notes[0]
    asked = read("3=4.5", name="ferryman-phaser")
    assert asked.readings == ()
    assert "pin 3 of which chip? U1 or U2 or U3" in asked.not_understood[0].reason


def test_a_range_is_a_reading_that_wanders() -> None:
    (one,) = read("U2.6 2.2-2.4V").readings
    assert (one.volts, one.other_v) == (2.2, 2.4)
    (one,) = read("U2.6 2.2 to 2.4").readings
    assert one.other_v == 2.4


@pytest.mark.parametrize(
    ("text", "piece", "reason"),
    [
        ("hello there", "hello there", "no pin, net or voltage"),
        ("4.97", "4.97", "without a pin"),
        ("U2.1", "U2.1", "no voltage behind it"),
        ("U2.99 5.0", "U2.99", "U2 has no such pin"),
        ("99=1", "99", "no chip here has a pin 99"),
        ("U2.1 = 99999", "99999", "no voltage of a pedal"),
        ("U2.1 = 10k", "10k", "no pin, net or voltage"),
        ("U2.1 = OL", "OL", "no pin, net or voltage"),
        ("U9.1 5", "U9.1", "no pin, net or voltage"),
        ("U2.1 = " + "9" * 400, "9" * 20, "no voltage of a pedal"),
        ("???!", "", ""),
    ],
)
def test_what_is_not_understood_is_named_with_the_reason(text: str, piece: str, reason: str) -> None:
    found = read(text)
    assert found.readings == ()
    if piece:
        assert any(piece in one.text and reason in one.reason for one in found.not_understood)


def test_a_number_before_a_sign_of_equality_is_a_pin_and_no_voltage() -> None:
    """``echo`` is a net of this circuit, too."""
    found = read("U2 (echo chip) 1=4.97")
    assert [(one.key, one.volts) for one in found.readings] == [("U2.1", 4.97)]
    assert [(one.text, one.reason) for one in found.not_understood] == [("echo", "no voltage behind it")]


def test_a_chip_that_is_not_there_is_refused() -> None:
    with pytest.raises(UnknownChip, match="chips with numbered pins: U1, U2"):
        read("1=2", chip="U7")


def test_a_long_list_ends_and_says_so() -> None:
    found = read("U2.1=5 " * 20_000)
    assert len("U2.1=5 " * 20_000) > LONGEST_TEXT
    assert "too long" in found.not_understood[-1].reason


PLACES = ("U1", "U2", "u2.3", "1", "2", "16", "99", "pin", "VB", "vin", "gnd", "Q1", "c", "U1a", "TIME")
VALUES = ("4.97", "2,48", "-0.3", "4V5", "2.2-2.4", ".5", "5.", "0", "000", "1e999", "nan", "10k", "V", "mV")
SIGNS = ("=", ":", "-", ",", ";", "(", ")", "|", "~", "\n", "\t", "??", "--", "..", "to")
STRANGE = ("hello", "µV", "IC2", "R12", "٣", "½", "é", "\x00", "\u202e", "🎸")


@pytest.mark.parametrize("piece", ["x", "a.b-", "1", "U2.", "1.", "-", "U2.1=5 ", "to ", "hum ", "\n"])
def test_a_hundred_thousand_of_anything_are_answered(piece: str) -> None:
    found = read(piece * (LONGEST_TEXT // len(piece)))
    assert all(len(one.text) <= 80 for one in found.not_understood)


WORDS = st.lists(st.sampled_from((*PLACES, *VALUES, *SIGNS, *STRANGE)), max_size=30)
LISTS = WORDS.map(" ".join) | WORDS.map("".join) | st.text(max_size=80)


@settings(max_examples=300)
@given(LISTS)
def test_no_list_whatever_it_holds_raises_or_loses_a_number(text: str) -> None:
    found = read(text)
    said = " ".join([*(one.text for one in found.readings), *(one.text for one in found.not_understood)])
    for token in tokens(text):
        if token.sort.value == "number" and len(token.text) < 40:
            assert token.text in said
    for one in found.readings:
        assert one.key and abs(one.volts) <= 1000.0


@settings(max_examples=100)
@given(LISTS)
def test_every_list_can_be_compared(text: str) -> None:
    compared = compare_readings(table(ECHO), text)
    assert len(compared.readings) == len(read(text).readings)
    assert all(one.sentence for one in compared.readings)
    assert compared.all_fine == all(
        one.verdict in (Verdict.FINE, Verdict.NOTHING) for one in compared.readings
    )
    supplies_read(package(ECHO).circuit, text)


@settings(max_examples=100)
@given(st.lists(st.tuples(st.integers(1, 16), st.integers(-500, 999)), min_size=1, max_size=8))
def test_a_list_written_in_any_of_our_ways_comes_back(pairs: list[tuple[int, int]]) -> None:
    wanted = [(f"U2.{pin}", hundredths / 100) for pin, hundredths in pairs]
    for form in ("U2.{} = {:.2f} V", "U2 pin {}: {:.2f}", "U2-{} {:.2f}v,"):
        text = " ".join(form.format(pin, hundredths / 100) for pin, hundredths in pairs)
        found = read(text)
        assert [(one.key, one.volts) for one in found.readings] == wanted, text
        comma = read(re.sub(r"(\d)\.(\d\d)", r"\1,\2", text))
        assert [(one.key, one.volts) for one in comma.readings] == wanted, text
