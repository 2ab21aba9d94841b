"""Words that look like markup, turn the line round or never end: the document says them and stays whole."""

from dataclasses import replace

import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.circuit import Circuit
from pedalwright.notation import examine, read_text
from pedalwright.report.html_page import html_page
from pedalwright.report.pack.assembling import build_document, html_document
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.lint import disagreements
from pedalwright.report.pack.parts_csv import parts_csv

from .packs import pages_of, printed

TEXT = """\
pedal Quiet Corner
about One follower.
supply VIN 9V wall
input IN pickup
output OUT 1M
part U1 opamp TL071 v+=VIN v-=gnd
knob LEVEL 100k audio at 5
section Half supply
VIN > R1 10k > VB > R2 10k > gnd
VB > C1 10u (electrolytic, 16V) > gnd
section Follower
IN > C2 100n > U1.non
VB > R3 1M > U1.non
U1.out > U1.inv
U1.out > C3 1u > LEVEL.3
LEVEL.2 > OUT
LEVEL.1 > gnd
point VB half supply
"""
HOSTILE = (
    "*not bold* _nor this_ `nor that`",
    "x#set page(width: 1pt) #panic()",
    "$x^2$ ``` <label> @label /* never ends",
    "quotes \" and ' and \\ and &amp; </p>",
    "</svg><script>alert(1)</script>",
    "= Not a heading",
    "]{[}{( #",
    "=cmd|'/C calc'!A0",
)


def everywhere(words: str) -> Circuit:
    """The circuit with words in every place a text can stand."""
    circuit = read_text(TEXT)
    return replace(
        circuit,
        title=words,
        about=(words, words),
        sections=tuple(replace(section, title=words) for section in circuit.sections),
        points=tuple(replace(point, text=words) for point in circuit.points),
        parts=tuple(replace(part, section=words, notes=(*part.notes, words)) for part in circuit.parts),
    )


def made_of(circuit: Circuit) -> Dossier:
    return Dossier(Analysis(circuit, TEXT))


def squeezed(text: str) -> str:
    return "".join(text.replace("\u200b", "").split())


@pytest.mark.parametrize("words", HOSTILE)
def test_what_looks_like_markup_is_said_and_nothing_else(words: str) -> None:
    dossier = made_of(everywhere(words))
    built = build_document(dossier)
    assert disagreements(built, dossier.circuit, parts_csv(dossier)) == ()
    pages = pages_of(printed(built))
    assert squeezed("".join(pages)).count(squeezed(words)) >= 4
    assert len(pages) > 5 and all(built.revision in page for page in pages)
    page = html_page(html_document(built))
    assert "<script>alert" not in page and page.count("<h1>") == 1


def test_ten_thousand_characters_stay_on_their_pages() -> None:
    for words in ("x" * 10_000, "word " * 2_000):
        built = build_document(made_of(everywhere(words)))
        pages = pages_of(printed(built))
        assert all(built.revision in page for page in pages)
        assert len(html_page(html_document(built))) > 50_000


def test_marks_that_turn_the_line_round_are_not_obeyed() -> None:
    built = build_document(made_of(everywhere("abc\u202edef \u05e2\u05d1\u05e8\u05d9\u05ea")))
    assert "\u202e" not in "".join(pages_of(printed(built)))
    assert "\u202e" not in html_page(html_document(built))


def test_words_as_the_notation_lets_them_be_written() -> None:
    """The longest line a text may have, in a title."""
    longest = examine("pedal " + "w" * 10_000)
    assert longest.circuit is None
    for words in ("w" * 480, "a b " * 120):
        text = TEXT.replace("Quiet Corner", words)
        dossier = Dossier(Analysis(read_text(text), text))
        assert printed(build_document(dossier)).startswith(b"%PDF")


def test_a_table_of_parts_computes_nothing_in_a_spreadsheet() -> None:
    table = parts_csv(made_of(everywhere("=1+1")))
    assert "'=1+1" in table and ",=1+1" not in table
