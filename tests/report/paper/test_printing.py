"""Documents printed and read back: text as it was given, never markup; the standard kept; the same bytes."""

from io import BytesIO

import pytest
from pypdf import PdfReader
from pypdf.generic import DictionaryObject

from pedalwright.report.blocks import (
    Block,
    Box,
    Document,
    Entries,
    Entry,
    Facts,
    Formula,
    Links,
    Paragraph,
    Picture,
    Pictures,
    Points,
    Section,
    Steps,
    Table,
    Tone,
)
from pedalwright.report.paper.printing import pdf_document, pdf_drawing, png_drawing, png_pages
from pedalwright.report.paper.words import LONGEST_WORD, printable

PNG = b"\x89PNG\r\n\x1a\n"
HOSTILE = (
    "*not bold* _nor this_",
    "#set page(width: 1pt) #panic()",
    "$x^2$ `code` ```",
    "<label> @label // no comment /* nor this */",
    "quotes \" and ' and \\ backslash",
    "= Not a heading",
    "- not a list",
    "</svg><script>alert(1)</script>",
    "]{[}{(",
)
DRAWING = '<svg viewBox="0 0 20 10"><text x="1" y="8" font-family="DejaVu Sans">a &lt; b</text></svg>'


def every_block(text: str) -> tuple[Block, ...]:
    """One of every block that paper knows, all saying the same."""
    return (
        Paragraph(text),
        Paragraph(text, Tone.DOUBT),
        Points((text, text)),
        Steps((text,)),
        Facts(((text, text),)),
        Table(caption=text, columns=(text, text), rows=((text, text),), figures=(1,)),
        Formula(text, text),
        Entries((Entry(name=text, label=text, role=text, texts=(text,)),)),
        Box(((text, text),)),
        Links((("page.html", text, text),)),
        Pictures((Picture(svg=DRAWING, described=text, caption=text),)),
    )


def document(text: str) -> Document:
    """A document that says one thing everywhere."""
    inner = Section(anchor="inner", heading=text, blocks=every_block(text), aside=text)
    outer = Section(anchor="outer", heading=text, blocks=every_block(text), sections=(inner,))
    return Document(title=text, lead=(text,), sections=(outer,), closing=(text,))


def read_back(pdf: bytes) -> str:
    """The text of every page, white space as single blanks, without places to break a word."""
    said = " ".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages)
    return " ".join(said.replace("\u200b", "").split())


@pytest.mark.parametrize("text", HOSTILE)
def test_what_looks_like_markup_is_printed_as_it_is(text: str) -> None:
    said = read_back(pdf_document(document(text), cover=every_block(text), stamp=text, mark=text))
    assert said.replace(" ", "").count(text.replace(" ", "")) > 20


def test_the_document_is_tagged_titled_and_in_a_language() -> None:
    pdf = pdf_document(document("Plain"))
    catalogue = PdfReader(BytesIO(pdf)).root_object
    marks = catalogue["/MarkInfo"]
    assert isinstance(marks, DictionaryObject) and str(marks["/Marked"]) == "True"
    assert str(catalogue["/Lang"]).startswith("en")
    assert "/StructTreeRoot" in catalogue
    assert b"pdfuaid:part" in pdf


def test_the_same_document_gives_the_same_bytes() -> None:
    assert pdf_document(document("Twice"), stamp="x") == pdf_document(document("Twice"), stamp="x")


def test_another_document_gives_other_bytes() -> None:
    assert pdf_document(document("Once")) != pdf_document(document("Twice"))


def test_a_word_of_ten_thousand_letters_stays_on_the_page() -> None:
    pdf = PdfReader(BytesIO(pdf_document(document("x" * 10_000))))
    assert len(pdf.pages) > 1
    assert "".join(page.extract_text() for page in pdf.pages).count("x") > 100_000


def test_marks_that_turn_the_direction_are_shown_not_obeyed() -> None:
    assert "\u202e" not in printable("abc\u202edef")
    assert "\u202e" not in read_back(pdf_document(document("abc\u202edef")))


def test_words_of_other_scripts_are_kept() -> None:
    assert "עברית" in printable("עברית") and pdf_document(document("עברית עם מילים"))


@pytest.mark.parametrize("length", [1, LONGEST_WORD, LONGEST_WORD + 1, 100])
def test_only_long_words_are_given_places_to_break(length: int) -> None:
    text = printable("w" * length)
    assert ("\u200b" in text) == (length > LONGEST_WORD)
    assert text.replace("\u200b", "") == "w" * length


def test_every_page_carries_the_stamp() -> None:
    pages = PdfReader(BytesIO(pdf_document(document("long " * 900), stamp="revision abc"))).pages
    assert len(pages) > 3
    assert all("revision abc" in page.extract_text() for page in pages)


def test_a_long_table_goes_on_over_pages_with_its_head() -> None:
    rows = tuple((f"R{place}", f"{place} ohm") for place in range(300))
    table = Table(caption="Many", columns=("designator", "value"), rows=rows)
    made = Document(title="T", sections=(Section(anchor="a", heading="A", blocks=(table,)),))
    pages = [page.extract_text() for page in PdfReader(BytesIO(pdf_document(made))).pages]
    assert len(pages) > 3 and all("designator" in page for page in pages)
    assert all(f"R{place}" in "".join(pages) for place in range(300))


def test_an_empty_document_is_printed_too() -> None:
    assert pdf_document(Document(title="")).startswith(b"%PDF")


def test_pages_and_drawings_as_pictures() -> None:
    assert all(page.startswith(PNG) for page in png_pages(document("Seen"), dots_per_inch=40))
    assert png_drawing(DRAWING, title="d", described="a drawing").startswith(PNG)
    assert pdf_drawing(DRAWING, title="d", described="a drawing").startswith(b"%PDF")
