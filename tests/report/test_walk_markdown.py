"""The walk-through as Markdown: CommonMark's rules for what is escaped, tables that keep their columns."""

import re
from itertools import pairwise

import pytest

from pedalwright.report.markdown_page import escaped, markdown_text
from pedalwright.report.walk_markdown import walk_markdown

from .made_by_hand import WALK, doubtful, saying, uncertified

BAR = re.compile(r"(?<!\\)[|]")
"""a bar that parts cells: one without a backslash"""


@pytest.mark.parametrize(
    ("said", "written"),
    [
        ("<script>", "\\<script\\>"),
        ("a | b", "a \\| b"),
        ("`code`", "\\`code\\`"),
        ("**bold** _it_", "\\*\\*bold\\*\\* \\_it\\_"),
        ("[text](address)", "\\[text\\](address)"),
        ("back\\slash", "back\\\\slash"),
        ("- item", "\\- item"),
        ("12. item", "12\\. item"),
        ("# heading", "\\# heading"),
        ("two\nlines\n===", "two lines ==="),
        ("see https://example.test", "see https\\://example.test"),
        ("right\u202eto left", "right\ufffdto left"),
        ("4k7 and 10 µF", "4k7 and 10 µF"),
    ],
)
def test_every_sign_with_a_meaning_is_escaped(said: str, written: str) -> None:
    # CommonMark 0.31.2, section 2.4: a backslash before ASCII punctuation makes it literal.
    assert markdown_text(said) == written


def test_backslash_escapes_give_the_text_back() -> None:
    said = r"a\b `c` *d* [e](f) <g> #h |i| ~j~ $k$ {l} &amp; m@n"
    assert re.sub(r"\\([!-/:-@\[-`{-~])", r"\1", escaped(said)) == said


@pytest.mark.parametrize("text", ["|", "a|b\n|---|", "<script>`|`", "x" * 10_000])
def test_no_text_breaks_a_table_or_adds_a_heading(text: str) -> None:
    plain, hostile = walk_markdown(saying("x" * len(text))), walk_markdown(saying(text))
    assert shape(hostile) == shape(plain)


def shape(text: str) -> list[str]:
    """What each line is: a heading of a level, a table row of so many cells, or something else."""
    kinds = []
    for line in text.splitlines():
        if found := re.match(r"#+ ", line):
            kinds.append(found[0])
        elif line.startswith("|"):
            kinds.append(f"{len(BAR.findall(line)) - 1} cells")
        else:
            kinds.append("")
    return kinds


def test_headings_go_down_one_step_at_a_time() -> None:
    levels = [len(found) for found in re.findall(r"^(#+) ", walk_markdown(WALK), re.MULTILINE)]
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_it_tells_what_the_page_tells() -> None:
    text = walk_markdown(WALK)
    assert "- **C10** 47 nF, shunt capacitor" in text
    assert "One step larger (1k2): the corner moves from 3.39 kHz to 2.82 kHz." in text
    assert "One step larger (68n) or smaller (33n): nothing measured moves noticeably." in text
    assert "| corner | 3.39 kHz | 3.4 kHz | 0.41 % | f = 1/(2 pi R C) |" in text
    assert "**Not confirmed: R9 acts on it too.**" in walk_markdown(doubtful())
    assert "nan" not in walk_markdown(uncertified()).lower()


def test_a_dip_is_told_beside_the_corner() -> None:
    text = walk_markdown(WALK)
    assert "treble above 3.4 kHz falls away by more than 3 dB; a dip near 560 Hz, 6.6 dB deep." in text
    assert "- dip: near 560 Hz, 6.6 dB deep" in text
