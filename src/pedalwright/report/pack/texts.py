"""Every text of a document, for whoever checks what it says."""

from collections.abc import Iterable

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


def sections_of(document: Document) -> Iterable[Section]:
    """Every section, those inside others after them."""
    for section in document.sections:
        yield from _all(section)


def _all(section: Section) -> Iterable[Section]:
    yield section
    for inner in section.sections:
        yield from _all(inner)


def tables_of(section: Section) -> Iterable[Table]:
    """Every table of a section and of those inside it."""
    for one in _all(section):
        yield from (block for block in one.blocks if isinstance(block, Table))


def texts(section: Section) -> Iterable[str]:
    """Every text of a section and of those inside it."""
    for one in _all(section):
        yield from (one.heading, one.aside)
        for block in one.blocks:
            yield from block_texts(block)


def block_texts(block: Block) -> Iterable[str]:
    """Every text of a block; drawings count with their descriptions."""
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
