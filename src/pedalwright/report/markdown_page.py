"""A document as Markdown, every text escaped; plots are left out, their numbers stand in the tables."""

import re
from collections.abc import Iterable, Iterator
from urllib.parse import quote

from pedalwright.report.blocks import (
    Block,
    Box,
    Clips,
    Document,
    Entries,
    Entry,
    Facts,
    Fields,
    Formula,
    Links,
    Paragraph,
    Pictures,
    Plots,
    Points,
    Section,
    Steps,
    Table,
    Tone,
)
from pedalwright.report.plain_text import plain
from pedalwright.report.sound_clip import clip_sentence

_SPECIAL = re.compile(r"([\\`*_{}\[\]<>#|~$&])")


def markdown_page(document: Document) -> str:
    """The document as Markdown (CommonMark with pipe tables)."""
    parts = [f"# {markdown_text(document.title)}"]
    parts += [markdown_text(line) for line in document.lead]
    for section in document.sections:
        parts += _section(section, 2)
    if document.closing:
        parts += ["---", *(markdown_text(line) for line in document.closing)]
    return "\n\n".join(parts) + "\n"


def markdown_text(said: str) -> str:
    """A text that Markdown shows as it is, fit to open a line: see `escaped`."""
    # At the start of a line these would begin a list or underline a heading.
    return re.sub(r"^(\d*)([-+=.)])", r"\1\\\2", escaped(said))


def escaped(said: str) -> str:
    """A text inside a line: every sign with a meaning gets a backslash, what cannot be seen is replaced."""
    spared = _SPECIAL.sub(r"\\\1", plain(said))
    # Web addresses and mail addresses would become links by themselves.
    spared = re.sub(r"(?i)(https?|ftp)(:)(?=//)", r"\1\\\2", spared).replace("@", "\\@")
    return re.sub(r"(?i)\bwww\.", lambda found: found[0].replace(".", "\\."), spared)


def _section(section: Section, level: int) -> Iterator[str]:
    aside = f" ({markdown_text(section.aside)})" if section.aside else ""
    yield f"{'#' * level} {markdown_text(section.heading)}{aside}"
    for block in section.blocks:
        if written := _block(block):
            yield written
    for inner in section.sections:
        yield from _section(inner, level + 1)


def _block(block: Block) -> str:
    match block:
        case Table():
            return _table(block)
        case Entries(items):
            return "\n".join(map(_entry, items))
        case Facts(rows):
            return "\n".join(f"- {markdown_text(name)}: {escaped(said)}" for name, said in rows)
        case Links(items):
            return "\n".join(
                f"- [{escaped(name)}](<{quote(to)}>): {escaped(said)}" for to, name, said in items
            )
        case Plots() | Fields() | Pictures():
            return ""
        case Clips(items):
            return "\n\n".join(markdown_text(clip_sentence(clip)) for clip in items)
        case _:
            return _prose(block)


def _prose(block: Paragraph | Points | Steps | Formula | Box) -> str:
    match block:
        case Paragraph(said, tone):
            words = markdown_text(said)
            return f"**{words}**" if tone is Tone.DOUBT and words else words
        case Points(items):
            return _list(items)
        case Steps(items):
            return "\n".join(f"{place}. {markdown_text(item)}" for place, item in enumerate(items, 1))
        case Formula(said, source):
            return f"> {markdown_text(said)}  \n> {markdown_text(source)}"
        case Box(items):
            return "\n>\n".join(f"> **{escaped(name)}.** {escaped(said)}" for name, said in items)


def _list(items: Iterable[str]) -> str:
    return "\n".join(f"- {markdown_text(item)}" for item in items)


def _table(table: Table) -> str:
    marks = ["---:" if place in table.figures else "---" for place in range(len(table.columns))]
    lines = [_cells(map(escaped, table.columns)), _cells(marks)]
    lines += [_cells(map(escaped, row)) for row in table.rows]
    caption = f"{markdown_text(table.caption)}:\n\n" if table.caption else ""
    return caption + "\n".join(lines)


def _cells(cells: Iterable[str]) -> str:
    return f"| {' | '.join(cells)} |"


def _entry(entry: Entry) -> str:
    head = f"- **{escaped(entry.name)}** {escaped(entry.label)}, {escaped(entry.role)}"
    return "\n".join([head, *(f"  - {markdown_text(said)}" for said in entry.texts)])
