"""The lint: documents with one thing wrong are caught, and the thing is named."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from pedalwright.report.blocks import Block, Facts, Paragraph, Pictures, Section, Table
from pedalwright.report.pack.assembling import BuildDocument
from pedalwright.report.pack.lint import disagreements
from pedalwright.report.pack.own_words import strangers_in_the_text
from pedalwright.report.pack.parts_csv import parts_csv

from .packs import built, circuit_of, dossier_of, dossier_of_text

NAME = "lantern-echo"
Change = Callable[[Block], Block]


def with_blocks(made: BuildDocument, anchor: str, change: Change) -> BuildDocument:
    """The document with every block of one section, and of those inside it, changed."""

    def changed(section: Section, inside: bool) -> Section:
        inside = inside or section.anchor == anchor
        return replace(
            section,
            blocks=tuple(change(block) if inside else block for block in section.blocks),
            sections=tuple(changed(inner, inside) for inner in section.sections),
        )

    sections = tuple(changed(section, False) for section in made.document.sections)
    return replace(made, document=replace(made.document, sections=sections))


def on_rows(change: Callable[[tuple[str, ...]], tuple[str, ...] | None]) -> Change:
    """A change of the rows of tables; None drops a row."""

    def on_block(block: Block) -> Block:
        if not isinstance(block, Table):
            return block
        return replace(block, rows=tuple(new for row in block.rows if (new := change(row)) is not None))

    return on_block


def said(made: BuildDocument, csv_text: str | None = None) -> str:
    return "\n".join(disagreements(made, circuit_of(NAME), csv_text))


@pytest.mark.parametrize("anchor", ["parts-list", "shopping-list", "soldering-order"])
def test_a_part_that_is_dropped_from_a_list_is_missed(anchor: str) -> None:
    def without_r9(row: tuple[str, ...]) -> tuple[str, ...] | None:
        if row[0] == "R9" or row[-1] == "R9":
            return None
        return tuple(cell.replace("R9 68 kΩ, ", "") for cell in row)

    assert "leaves out R9." in said(with_blocks(built(NAME), anchor, on_rows(without_r9)))


@pytest.mark.parametrize("anchor", ["parts-list", "shopping-list", "soldering-order", "how-it-works"])
def test_a_part_that_is_renamed_is_a_stranger(anchor: str) -> None:
    def renamed(block: Block) -> Block:
        if isinstance(block, Table):
            rows = tuple(tuple(cell.replace("R9", "R99") for cell in row) for row in block.rows)
            return replace(block, rows=rows)
        return Paragraph(block.text.replace("R9 ", "R99 ")) if isinstance(block, Paragraph) else block

    assert "names R99, which the circuit does not have." in said(with_blocks(built(NAME), anchor, renamed))


def test_a_count_that_does_not_fit_is_told() -> None:
    def one_more(row: tuple[str, ...]) -> tuple[str, ...]:
        return (row[0], "5", *row[2:]) if row[-1] == "R7, R8, R10, R14" else row

    changed = with_blocks(built(NAME), "shopping-list", on_rows(one_more))
    assert said(changed) == "'Shopping list' counts 5 for R7, R8, R10, R14."


def test_a_part_bought_twice_is_told() -> None:
    def twice(row: tuple[str, ...]) -> tuple[str, ...]:
        return (row[0], "2", *row[2:-1], "R9, R9") if row[-1] == "R9" else row

    assert "'Shopping list' has R9 more than once." in said(
        with_blocks(built(NAME), "shopping-list", on_rows(twice))
    )


def test_another_value_in_one_list_is_told() -> None:
    def other(row: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(cell.replace("68 kΩ", "6.8 kΩ") for cell in row)

    assert "buys R9 as 6.8 kΩ 0.25 W, the parts list has 68 kΩ 0.25 W." in said(
        with_blocks(built(NAME), "shopping-list", on_rows(other))
    )


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("\r\nR9,", "\r\nR99,", "'parts.csv' leaves out R9."),
        ("68 kΩ", "6.8 kΩ", "'parts.csv' has R9 as 6.8 kΩ, the parts list as 68 kΩ."),
    ],
)
def test_the_table_of_parts_is_held_against_the_list(old: str, new: str, told: str) -> None:
    table = parts_csv(dossier_of(NAME))
    assert said(built(NAME), table) == ""
    assert told in said(built(NAME), table.replace(old, new, 1))


def test_a_part_the_schematic_does_not_draw_is_missed() -> None:
    def erased(block: Block) -> Block:
        if not isinstance(block, Pictures):
            return block
        items = tuple(replace(one, svg=one.svg.replace('data-ref="R9"', "")) for one in block.items)
        return Pictures(items)

    assert said(with_blocks(built(NAME), "schematic", erased)) == "The schematic leaves out R9."


@pytest.mark.parametrize(
    ("anchor", "old", "new", "told"),
    [
        ("specifications", "23.3 mA typical", "23.4 mA typical", "The current from VIN is told as"),
        ("specifications", "+0.2 dB", "+0.3 dB", "The gain at 1 kHz is told as"),
        ("specifications", "9 V DC", "12 V DC", "The supply is told as"),
        ("specifications", "7.48 Hz", "7.5 Hz", "The bass corner is told as"),
        ("troubleshooting", "comes after 338 ms", "comes after 341 ms", "The delay is told as"),
    ],
)
def test_a_figure_told_in_two_ways_is_told(anchor: str, old: str, new: str, told: str) -> None:
    def changed(block: Block) -> Block:
        if isinstance(block, Facts):
            return Facts(tuple((name, text.replace(old, new)) for name, text in block.rows))
        return block

    assert told in said(with_blocks(built(NAME), anchor, changed))


def test_a_revision_of_another_text_is_told() -> None:
    made = built(NAME)
    assert "The revision is not that of the text." in said(replace(made, revision="0" * 12))
    assert "does not close with the fingerprint" in said(replace(made, text_sha256="f" * 64))


def test_words_of_the_writer_may_name_what_is_not_there_and_are_remarked_on() -> None:
    text = dossier_of(NAME).analysis.text.replace("point    VA    op-amp supply", "point VA next to R99")
    dossier = dossier_of_text(text)
    from pedalwright.report.pack.assembling import build_document

    assert strangers_in_the_text(dossier.circuit) == ("R99",)
    made = build_document(dossier)
    assert disagreements(made, dossier.circuit, parts_csv(dossier)) == ()
    review = next(section for section in made.document.sections if section.anchor == "review-says")
    assert any("R99" in str(inner.blocks) for inner in review.sections)


def test_type_numbers_that_look_like_designators_are_no_strangers() -> None:
    dossier = dossier_of("gatepost-buffer")
    assert "J201" in str(dossier.substitutes) or "J201" in dossier.analysis.text
    assert disagreements(built("gatepost-buffer"), dossier.circuit) == ()
