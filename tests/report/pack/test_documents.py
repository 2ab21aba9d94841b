"""What a build document says: the sections of a good one, its pages, lists and links."""

import re

import pytest

from pedalwright import circuits
from pedalwright.report.blocks import Facts, Pictures
from pedalwright.report.html_page import html_page
from pedalwright.report.pack.assembling import build_document, html_document
from pedalwright.report.pack.lint import disagreements
from pedalwright.report.pack.parts_csv import parts_csv
from pedalwright.report.pack.texts import texts

from .packs import (
    LOOKED_AT,
    built,
    circuit_of,
    dossier_of,
    dossier_of_text,
    pages_of,
    pdf_of,
    rows_of,
    section_of,
)

EVERYWHERE = (
    "review-says",
    "how-it-works",
    "schematic",
    "parts-list",
    "shopping-list",
    "soldering-order",
    "bench-test",
    "expected-voltages",
    "probe-levels",
    "controls",
    "mods",
    "troubleshooting",
    "specifications",
    "curves",
    "cautions",
)


@pytest.mark.parametrize("name", LOOKED_AT)
def test_the_document_agrees_with_itself_and_its_circuit(name: str) -> None:
    assert disagreements(built(name), circuit_of(name), parts_csv(dossier_of(name))) == ()


@pytest.mark.parametrize("name", LOOKED_AT)
def test_the_sections_of_a_good_build_document_are_there(name: str) -> None:
    assert [section.anchor for section in built(name).document.sections] == list(EVERYWHERE)


@pytest.mark.parametrize("name", ["lantern-echo", "windowsill-tone"])
def test_every_page_carries_the_revision_and_its_number(name: str) -> None:
    pages = pages_of(pdf_of(name))
    assert len(pages) > 8
    for number, page in enumerate(pages, start=1):
        assert f"revision {built(name).revision}" in page and f"{number} of {len(pages)}" in page


@pytest.mark.parametrize("name", LOOKED_AT)
def test_the_shopping_list_buys_every_part_once(name: str) -> None:
    section = section_of(built(name).document, "shopping-list")
    counted = 0
    for inner in section.sections:
        if inner.anchor != "shopping-hardware":
            counted += sum(int(count) for (count,) in rows_of(inner, "how many"))
    assert counted == len(circuit_of(name).parts)


@pytest.mark.parametrize("name", LOOKED_AT)
def test_mods_are_few_and_each_names_its_stage(name: str) -> None:
    rows = rows_of(section_of(built(name).document, "mods"), "part", "try", "stage", "what it does", "watch")
    assert 0 < len(rows) <= 24
    assert all(all(row) for row in rows)


def test_the_licence_of_the_text_stands_on_the_cover_alone() -> None:
    text = circuits.text("windowsill-tone").replace("about ", "about    Licence: CC BY 4.0\nabout ", 1)
    made = build_document(dossier_of_text(text))
    facts = dict(row for block in made.cover if isinstance(block, Facts) for row in block.rows)
    assert facts["licence"] == "CC BY 4.0"
    assert not any("CC BY" in line for line in made.document.lead)
    plain = dict(
        row for block in built("windowsill-tone").cover if isinstance(block, Facts) for row in block.rows
    )
    assert "licence" not in plain


def test_findings_and_what_was_accepted_are_told() -> None:
    text = circuits.text("lantern-echo").replace("R12 2k2", "R12 680")
    made = build_document(dossier_of_text(text))
    said = " ".join(texts(section_of(made.document, "review-says")))
    assert "R12" in said and "680" in said


def test_stages_of_several_parts_are_drawn_with_ids_of_their_own() -> None:
    svgs = [
        picture.svg
        for section in section_of(built("lantern-echo").document, "how-it-works").sections
        for inner in section.sections
        for block in inner.blocks
        if isinstance(block, Pictures)
        for picture in block.items
    ]
    assert len(svgs) >= 4
    titles = {svg.partition('id="')[2].partition('"')[0] for svg in svgs}
    assert len(titles) == len(svgs)


@pytest.mark.parametrize("name", LOOKED_AT)
def test_no_id_of_the_page_stands_twice_and_no_link_leads_nowhere(name: str) -> None:
    page = html_page(html_document(built(name)))
    ids = re.findall(r'\bid="([^"]+)"', page)
    assert len(ids) == len(set(ids))
    targets = set(re.findall(r'href="#([^"]+)"', page)) | set(re.findall(r"url\(#([^)]+)\)", page))
    targets |= {one for group in re.findall(r'aria-labelledby="([^"]+)"', page) for one in group.split()}
    assert targets <= set(ids)
