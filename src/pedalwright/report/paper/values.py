"""A document as the values its printed page is filled with, and the pictures that go with them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from pedalwright.report.blocks import (
    Block,
    Box,
    Clips,
    Document,
    Entries,
    Facts,
    Fields,
    Formula,
    Links,
    Paragraph,
    Picture,
    Pictures,
    Plot,
    Plots,
    Points,
    Section,
    Steps,
    Table,
)
from pedalwright.report.paper.pictures import page_of, plot_picture, standing_alone, width_share
from pedalwright.report.paper.words import printable, shortened
from pedalwright.report.sound_clip import clip_sentence
from pedalwright.report.sound_field import field_svg

Data = dict[str, Any]
LONGEST_HEADING, LONGEST_CELL = 200, 800
"""characters: what is longer is cut on paper, with a sign, and stands in full on the page for the screen"""
RUNNING_TITLE = 70
"""characters of a title that the head of every page has room for"""
UNTITLED = "Without a title"
"""PDF/UA-1 asks for a title"""
PLOT_SHARE, WIDE_SHARE, BESIDE_SHARE = 66, 100, 50
"""per cent of the page's width"""
WIDE_CELL = 22
"""characters from which a column wraps and shares the width that is left"""


@dataclass(frozen=True)
class Filling:
    """What a page is filled with: `data` for its template, `files` for its pictures by name."""

    data: Data
    files: Mapping[str, bytes]


@dataclass
class _Filler:
    files: dict[str, bytes] = field(default_factory=dict)

    def blocks(self, blocks: Iterable[Block]) -> list[Data]:
        return [value for block in blocks for value in self.block(block)]

    def block(self, block: Block) -> list[Data]:
        match block:
            case Plots(items):
                return self._pictures(drawn for plot in items if (drawn := self._plot(plot)))
            case Pictures(items):
                return self._pictures(map(self._picture, items))
            case Fields(items):
                return self._pictures(
                    self._file(svg, one.title, one.title, WIDE_SHARE)
                    for place, one in enumerate(items)
                    if (svg := field_svg(one, f"field{place}"))
                )
            case Clips(items):
                return [_paragraph(clip_sentence(clip), "plain") for clip in items]
            case _:
                return [_text_block(block)]

    def _pictures(self, items: Iterable[Data]) -> list[Data]:
        told = list(items)
        return [{"kind": "pictures", "items": told}] if told else []

    def _plot(self, plot: Plot) -> Data | None:
        found = plot_picture(plot, f"plot{len(self.files)}")
        if found is None:
            return None
        svg, described, caption = found
        return self._file(svg, described, caption, WIDE_SHARE if plot.wide else PLOT_SHARE)

    def _picture(self, picture: Picture) -> Data:
        share = width_share(picture.svg)
        value = self._file(picture.svg, picture.described, picture.caption, share)
        return {**value, "own-page": page_of(picture.svg) if picture.landscape else None}

    def _file(self, svg: str, described: str, caption: str, share: int) -> Data:
        name = f"picture-{len(self.files)}.svg"
        self.files[name] = standing_alone(svg).encode("utf-8")
        return {
            "file": name,
            "alt": shortened(described, LONGEST_CELL),
            "caption": shortened(caption, LONGEST_CELL),
            "share": share,
            "own-page": None,
        }

    def section(self, section: Section) -> Data:
        blocks = self.blocks(section.blocks)
        return {
            "anchor": section.anchor,
            "own-page": _own_page(blocks),
            "beside": _has_room_beside(blocks),
            "heading": shortened(section.heading, LONGEST_HEADING),
            "aside": shortened(section.aside, LONGEST_HEADING),
            "blocks": blocks,
            "sections": [self.section(inner) for inner in section.sections],
        }


def filling(document: Document, *, cover: tuple[Block, ...] = (), stamp: str = "", mark: str = "") -> Filling:
    """What the printed page of a document is filled with.

    `cover` stands before the contents; with it, the sections are numbered and begin on a page of their own.
    `stamp` is printed at the foot of every page, `mark` at its head.
    """
    filler = _Filler()
    data = {
        "title": shortened(document.title, LONGEST_HEADING) or UNTITLED,
        "running-title": shortened(document.title, RUNNING_TITLE),
        "lead": [printable(line) for line in document.lead],
        "cover": filler.blocks(cover),
        "contents": len(document.sections) > 1,
        "numbered": bool(cover),
        "break-after-cover": bool(cover),
        "sections": [filler.section(section) for section in document.sections],
        "closing": [printable(line) for line in document.closing],
        "stamp": shortened(stamp, RUNNING_TITLE),
        "mark": shortened(mark, RUNNING_TITLE),
    }
    return Filling(data=data, files=filler.files)


def _own_page(blocks: list[Data]) -> str | None:
    """``upright`` or ``turned`` for a section that begins with a drawing too large for the text's margins."""
    if not blocks or blocks[0]["kind"] != "pictures":
        return None
    found: str | None = blocks[0]["items"][0]["own-page"]
    return found


def _has_room_beside(blocks: list[Data]) -> bool:
    """One small drawing among plain texts, which can stand beside it."""
    drawn = [block for block in blocks if block["kind"] == "pictures"]
    others = {block["kind"] for block in blocks} - {"pictures"}
    if len(drawn) != 1 or not others or not others <= {"paragraph", "points"}:
        return False
    items = drawn[0]["items"]
    return len(items) == 1 and not items[0]["caption"] and bool(items[0]["share"] <= BESIDE_SHARE)


def _paragraph(said: str, tone: str) -> Data:
    return {"kind": "paragraph", "text": printable(said), "tone": tone}


def _text_block(
    block: Paragraph | Points | Steps | Facts | Table | Formula | Entries | Box | Links,
) -> Data:
    match block:
        case Paragraph(said, tone):
            return _paragraph(said, tone.value)
        case Points(items):
            return {"kind": "points", "items": [printable(item) for item in items]}
        case Steps(items):
            return {"kind": "steps", "items": [printable(item) for item in items]}
        case Formula(said, source):
            return {"kind": "formula", "text": printable(said), "source": printable(source)}
        case Table():
            return _table(block)
        case _:
            return _listing(block)


def _listing(block: Facts | Entries | Box | Links) -> Data:
    match block:
        case Facts(rows):
            return {"kind": "facts", "rows": [[printable(name), printable(said)] for name, said in rows]}
        case Entries(items):
            told = [
                {
                    "name": printable(one.name),
                    "label": printable(one.label),
                    "role": printable(one.role),
                    "texts": [printable(said) for said in one.texts],
                }
                for one in items
            ]
            return {"kind": "entries", "items": told}
        case Box(items):
            return {"kind": "box", "items": [[printable(name), printable(said)] for name, said in items]}
        case Links(items):
            return {
                "kind": "points",
                "items": [printable(f"{name} ({to}): {said}") for to, name, said in items],
            }


def _table(table: Table) -> Data:
    return {
        "kind": "table",
        "caption": shortened(table.caption, LONGEST_CELL),
        "columns": [shortened(name, LONGEST_HEADING) for name in table.columns],
        "rows": [[shortened(cell, LONGEST_CELL) for cell in row] for row in table.rows],
        "figures": list(table.figures),
        "widths": _widths(table),
    }


def _widths(table: Table) -> list[float]:
    """A share of the width for every column that wraps, 0 for one as wide as what is in it."""
    longest = [max((len(row[place]) for row in table.rows), default=0) for place in range(len(table.columns))]
    return [min(length, 90) / 10 if length > WIDE_CELL else 0 for length in longest]
