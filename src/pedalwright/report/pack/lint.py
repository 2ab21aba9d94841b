"""Whether a build document agrees with its circuit: every part in every list, nothing that does not exist."""

import re
from collections import Counter
from collections.abc import Iterable

from pedalwright.circuit.circuit import Circuit
from pedalwright.report.blocks import (
    Block,
    Box,
    Document,
    Entries,
    Facts,
    Paragraph,
    Pictures,
    Points,
    Section,
    Steps,
    Table,
)

DESIGNATOR = re.compile(r"(?<![A-Za-z0-9/.])(?:R|C|L|D|Q|U|F|SW|J|BT)\d{1,4}(?![A-Za-z0-9])")
"""a designator by IEEE 315 letters, standing alone"""
LISTS = ("parts-list", "shopping-list", "soldering-order")
"""sections that must hold every part"""


def disagreements(document: Document, circuit: Circuit) -> tuple[str, ...]:
    """Every way in which a document does not agree with the circuit, a sentence each; empty when none."""
    return tuple(
        dict.fromkeys(
            (*_strangers(document, circuit), *_missing(document, circuit), *_anchors_twice(document))
        )
    )


def _strangers(document: Document, circuit: Circuit) -> Iterable[str]:
    """Designators that the circuit does not have. A document of changes may name parts that are gone."""
    for section in document.sections:
        if section.anchor == "changes":
            continue
        for ref in sorted({found for text in texts(section) for found in DESIGNATOR.findall(text)}):
            if ref not in circuit.by_ref:
                yield f"'{section.heading}' names {ref}, which the circuit does not have."


def _missing(document: Document, circuit: Circuit) -> Iterable[str]:
    for section in document.sections:
        if section.anchor not in LISTS:
            continue
        words = Counter(word for text in texts(section) for word in re.findall(r"[^\s,;()]+", text))
        for part in circuit.parts:
            if part.ref not in words:
                yield f"'{section.heading}' leaves out {part.ref}."


def _anchors_twice(document: Document) -> Iterable[str]:
    counted = Counter(_anchors(document.sections))
    yield from (f"Two sections have the anchor {anchor}." for anchor, times in counted.items() if times > 1)


def _anchors(sections: Iterable[Section]) -> Iterable[str]:
    for section in sections:
        yield section.anchor
        yield from _anchors(section.sections)


def texts(section: Section) -> Iterable[str]:
    """Every text of a section and of those inside it."""
    yield from (section.heading, section.aside)
    for block in section.blocks:
        yield from _block_texts(block)
    for inner in section.sections:
        yield from texts(inner)


def _block_texts(block: Block) -> Iterable[str]:
    match block:
        case Paragraph(said):
            yield said
        case Points(items) | Steps(items):
            yield from items
        case Facts(rows) | Box(rows):
            yield from (text for row in rows for text in row)
        case Table():
            yield from (block.caption, *block.columns, *(cell for row in block.rows for cell in row))
        case Entries() | Pictures():
            yield from _item_texts(block)


def _item_texts(block: Entries | Pictures) -> Iterable[str]:
    if isinstance(block, Entries):
        for entry in block.items:
            yield from (entry.name, entry.label, entry.role, *entry.texts)
    else:
        for picture in block.items:
            yield from (picture.caption, picture.described)
