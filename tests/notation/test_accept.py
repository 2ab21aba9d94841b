"""``accept CODE REF ... because REASON``: what is kept, what is refused, and names older than the keyword."""

from dataclasses import replace

import pytest

from pedalwright.circuit.ports import Acceptance
from pedalwright.notation import (
    change_value,
    examine,
    print_back,
    read_tables,
    read_text,
    write_circuit,
    write_tables,
)

from .texts import without_places

PEDAL = """\
input  IN pickup
output OUT 1M
part   U1 dual-opamp TL072 v+=VA v-=gnd
supply VA 9V wall
IN > C3 47n > R1 10k > U1a.inv
U1a.inv > R2 100k > U1a.out > OUT
U1a.non > R3 10k > VA
"""


def accepts(line: str) -> tuple[Acceptance, ...]:
    return read_text(f"{PEDAL}{line}\n").accepts


def test_code_parts_and_reason_are_kept_with_their_place() -> None:
    (kept,) = accepts("  accept S03 R1 U1 because it   runs cool > I measured (twice)   # on the bench")
    assert (kept.code, kept.parts) == ("S03", ("R1", "U1"))
    assert kept.reason == "it runs cool > I measured (twice)"
    assert (kept.span.line, kept.span.column) == (8, 3)


def test_without_parts_and_with_a_name_for_the_code() -> None:
    (kept,) = accepts("accept electrolytic-backwards because because is a fine word")
    assert (kept.code, kept.parts, kept.reason) == ("electrolytic-backwards", (), "because is a fine word")


@pytest.mark.parametrize(
    ("word", "means"),
    [("R3", "R3"), ("U1a", "U1a"), ("OUT", "OUT"), ("U1a.out", "OUT"), ("gnd", "gnd"), ("C3.1", "IN")],
)
def test_a_part_a_section_a_net_or_a_pin_narrows_it(word: str, means: str) -> None:
    (kept,) = accepts(f"accept N01 {word} because of the test")
    assert kept.parts == (means,)


def test_the_order_of_lines_does_not_matter() -> None:
    assert read_text("accept N01 R3 because of the test\n" + PEDAL).accepts[0].parts == ("R3",)


@pytest.mark.parametrize(
    ("line", "cure"), [("accept N01 U1c because x", "U1"), ("accept N01 OUTT because x", "OUT")]
)
def test_an_unknown_part_gets_the_nearest_name(line: str, cure: str) -> None:
    (remark,) = examine(f"{PEDAL}{line}\n").remarks
    assert remark.code == "accept.unknown-part" and remark.cure.startswith(f"Did you mean {cure}?")
    assert remark.span is not None and (remark.span.line, remark.span.column) == (8, 12)


def test_nothing_is_said_about_a_part_whose_own_line_is_wrong() -> None:
    found = examine(f"{PEDAL}IN > R7 10x > gnd\naccept N01 R7 because of the test\n").remarks
    assert [remark.code for remark in found] == ["value.unreadable"]


def test_naming_a_net_makes_no_net() -> None:
    circuit = read_text(f"{PEDAL}accept N01 U1b.inv because it is not used\n")
    assert circuit.nets == read_text(PEDAL).nets


@pytest.mark.parametrize(
    "line",
    [
        "accept S01 because it is meant",
        "accept S01 R1 U1b OUT because it is meant",
        "accept S01 R1.1 because this net has no name",
        "accept S01 U1b.inv because it is not used",
    ],
)
def test_written_anew_it_reads_back(line: str) -> None:
    circuit = read_text(f"{PEDAL}{line}\n")
    assert without_places(read_text(write_circuit(circuit))) == without_places(circuit)


def test_reading_and_printing_keep_every_sign() -> None:
    text = f"{PEDAL}  accept\tS01  R1   because  of  that#one # yes\r\n"
    assert print_back(examine(text).written) == text


def test_changing_another_line_leaves_it_alone() -> None:
    line = "accept S01  R1 because   R1 is fine   # R1 10k"
    assert change_value(f"{PEDAL}{line}\n", "R1", "12k") == f"{PEDAL}{line}\n".replace("> R1 10k", "> R1 12k")


def test_it_stays_behind_in_tables() -> None:
    circuit = read_text(f"{PEDAL}accept S01 because it is meant\n")
    again = read_tables(*write_tables(circuit))
    assert without_places(again) == replace(without_places(circuit), accepts=())


@pytest.mark.parametrize(
    "lines",
    [
        "accept > R5 10k > gnd\nIN > R6 10k > accept",
        "accept>R5 10k>gnd\naccept > R6 10k > gnd",
        "knob accept 50k linear at 3\naccept.1 > gnd\naccept.2 > accept.3 > OUT",
        "switch accept up down\naccept.common > gnd\naccept.up > OUT\naccept.down > IN",
        "input accept pickup\naccept > C9 1n > gnd".replace("input", "point"),
    ],
)
def test_texts_older_than_the_keyword_mean_what_they_meant(lines: str) -> None:
    circuit = read_text(f"{PEDAL}{lines}\n")
    assert circuit.accepts == ()
    assert "accept" in (*circuit.nets, *circuit.by_ref)
    assert without_places(read_text(write_circuit(circuit))) == without_places(circuit)
