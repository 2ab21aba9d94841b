"""The walk-through on the terminal: plain in a pipe, no wider than asked, no markup from the circuit."""

from io import StringIO

import pytest
from rich.cells import cell_len

from pedalwright.analysis.records import Walk
from pedalwright.report.blocks import Document, Section, Table
from pedalwright.report.plot_text import plot_text
from pedalwright.report.terminal_page import console_for, print_page
from pedalwright.report.walk_stage import curve_plot
from pedalwright.report.walk_terminal import print_walk, walk_text

from .made_by_hand import FILTER, WALK, doubtful, saying, uncertified


@pytest.mark.parametrize("walk", [WALK, doubtful(), uncertified()], ids=["sound", "doubtful", "uncertified"])
def test_into_a_pipe_it_is_plain_text(walk: Walk) -> None:
    text = walk_text(walk)
    assert "\x1b" not in text
    assert [line for line in text.splitlines() if line != line.rstrip()] == []


@pytest.mark.parametrize("width", [40, 60, 100])
def test_no_line_is_wider_than_the_sheet(width: int) -> None:
    for text in (
        walk_text(WALK, width),
        walk_text(saying("x" * 10_000), width),
        walk_text(saying("音" * 300), width),
    ):
        assert max(cell_len(line) for line in text.splitlines()) <= width


@pytest.mark.parametrize(
    "text", ["[red]x[/red]", "[bold", "[/]", ":smile:", "[link=https://example.test]x[/link]"]
)
def test_no_text_of_a_circuit_becomes_markup(text: str) -> None:
    told = walk_text(saying(text))
    assert told.splitlines()[0] == text
    assert told.count(text) >= 20


def test_what_cannot_be_seen_never_reaches_the_terminal() -> None:
    told = walk_text(saying("a\x1b[31m\u202eb\x07"))
    assert "a\ufffd[31m\ufffdb\ufffd" in told
    assert not set("\x1b\u202e\x07") & set(told)


def test_colours_only_on_a_terminal() -> None:
    class Terminal(StringIO):
        def isatty(self) -> bool:
            return True

    stream = Terminal()
    console = console_for(stream, 80)
    print_walk(doubtful(), console)
    assert "Not confirmed" in stream.getvalue()
    assert console.is_terminal


def test_only_the_stages_when_only_they_are_asked_for() -> None:
    stream = StringIO()
    print_walk(WALK, console_for(stream, 100), stages_only=True)
    text = stream.getvalue()
    assert "RC low-pass" in text and "Residual 3e-15" in text
    assert "Mains" not in text and "At a glance" not in text


def test_a_plot_in_letters_falls_where_the_curve_falls() -> None:
    rows = plot_text(curve_plot(FILTER.curves[0])).splitlines()[1:-2]
    drawn = {column: row for row, line in enumerate(rows) for column, sign in enumerate(line) if sign == "*"}
    places = [drawn[column] for column in sorted(drawn)]
    assert places == sorted(places)
    assert places[0] <= 1 and places[-1] >= len(rows) - 2
    # One mark a column, none left out.
    assert sorted(drawn) == list(range(min(drawn), max(drawn) + 1))


def test_long_headings_of_figures_leave_the_first_column_its_room() -> None:
    long = "level of the output at the lowest string"
    row = ("5", "-12.6 dB", "+0.2 dB", "341 Hz")
    table = Table(caption="", columns=("position", long, long, long), rows=(row,), figures=(1, 2, 3))
    stream = StringIO()
    page = Document(title="Knobs", sections=(Section(anchor="knob", heading="TONE", blocks=(table,)),))
    print_page(page, console_for(stream, 100))
    assert any(line.startswith("position") for line in stream.getvalue().splitlines())
