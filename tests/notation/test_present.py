"""Remarks as text: the mark stands under the place, and nothing in the text can harm a terminal."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pedalwright.circuit.remark import Remark
from pedalwright.circuit.span import Span
from pedalwright.notation import examine, present, present_all
from pedalwright.notation.present import WIDTH, columns


def marked(text: str, span: Span) -> str:
    """The part of the shown line that the mark stands under."""
    remark = Remark(code="x.y", span=span, what="What.", why="Why.", cure="Cure.")
    _, line, mark, *_ = present(remark, text).split("\n")
    start = len(mark) - len(mark.lstrip())
    return line[start : len(mark)]


def test_a_remark_says_where_what_why_and_what_to_write() -> None:
    text = "IN > R1 4,7k > gnd\n"
    assert present(examine(text).remarks[0], text, "my.pedal") == (
        "my.pedal, line 1, column 9: '4,7k' has a comma in it. [value.decimal-comma]\n"
        "    IN > R1 4,7k > gnd\n"
        "            ^^^^\n"
        "  A resistance is read here.\n"
        "  Write a point for the decimals and nothing between thousands: 4.7k."
    )


@pytest.mark.parametrize("before", ["", "IN > ", "\t\t", "x" * 300 + " "])
@pytest.mark.parametrize("after", ["", " > gnd", " y" * 200])
def test_the_mark_is_under_the_place(before: str, after: str) -> None:
    span = Span(2, len(before) + 1, len(before) + 5)
    assert marked(f"first\n{before}R123{after}\r\nlast", span) == "R123"


def test_wide_letters_move_the_mark_by_two() -> None:
    assert columns("抵抗 R1") == 7
    remark = Remark(code="x.y", span=Span(1, 4, 6), what="W.", why="W.", cure="C.")
    assert present(remark, "抵抗 R1").split("\n")[2] == "    " + " " * 5 + "^^"


@given(st.text(max_size=300), st.integers(1, 400), st.integers(1, 400))
def test_nothing_unprintable_comes_out_and_lines_stay_short(text: str, column: int, end: int) -> None:
    remark = Remark(code="x.y", span=Span(1, column, end), what=text, why=text, cure=text)
    shown = present(remark, text, source=text)
    assert all(character.isprintable() or character == "\n" for character in shown)
    assert all(columns(line) <= 2 * WIDTH + 20 for line in shown.split("\n")[1:2])


def test_a_flood_of_remarks_is_counted() -> None:
    text = "suply VIN 9V wall\n" * 300
    shown = present_all(examine(text).remarks, text)
    assert shown.count("keyword.unknown") == 200
    assert shown.endswith("and 100 more remarks.")


def test_a_file_that_is_no_text_has_a_place_but_no_line_to_show() -> None:
    remark = Remark(code="file.not-utf-8", span=Span(1, 3, 4), what="What.", why="Why.", cure="Cure.")
    assert present(remark, "", "some.pedal").split("\n") == [
        "some.pedal, line 1, column 3: What. [file.not-utf-8]",
        "  Why.",
        "  Cure.",
    ]
