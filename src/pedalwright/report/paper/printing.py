"""Documents printed: PDF after PDF/UA-1 (ISO 14289-1), pages as PNG, drawings as PDF and PNG."""

import json
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from pedalwright.report.blocks import Block, Document
from pedalwright.report.paper.pictures import standing_alone
from pedalwright.report.paper.values import Filling, filling

STANDARD = "ua-1"
MOST_DOTS_PER_INCH = 600.0


class CannotPrint(Exception):
    """The page could not be set; the text says why. A fault of Pedalwright's own, never of a circuit."""


def pdf_document(
    document: Document, *, cover: tuple[Block, ...] = (), stamp: str = "", mark: str = ""
) -> bytes:
    """The document as a tagged PDF; the same document gives the same bytes.

    `cover`, `stamp` and `mark` as in `filling`. Raises CannotPrint.
    """
    return _set(
        _page(filling(document, cover=cover, stamp=stamp, mark=mark)), "pdf", {"pdf_standards": STANDARD}
    )[0]


def png_pages(
    document: Document, *, cover: tuple[Block, ...] = (), stamp: str = "", dots_per_inch: float = 110.0
) -> tuple[bytes, ...]:
    """The pages of the document as PNG pictures. Raises CannotPrint."""
    page = _page(filling(document, cover=cover, stamp=stamp))
    return _set(page, "png", {"ppi": min(dots_per_inch, MOST_DOTS_PER_INCH)})


def pdf_drawing(svg: str, *, title: str, described: str) -> bytes:
    """One drawing as a PDF of its own size. Raises CannotPrint."""
    return _set(_sheet(svg, title, described), "pdf", {"pdf_standards": STANDARD})[0]


def png_drawing(svg: str, *, title: str, described: str, dots_per_inch: float = 144.0) -> bytes:
    """One drawing as a PNG on white. Raises CannotPrint."""
    return _set(_sheet(svg, title, described), "png", {"ppi": min(dots_per_inch, MOST_DOTS_PER_INCH)})[0]


def _page(filled: Filling) -> Mapping[str, bytes]:
    return {
        "main": _template("page.typ"),
        "data.json": json.dumps(filled.data, ensure_ascii=False).encode("utf-8"),
        **filled.files,
    }


def _sheet(svg: str, title: str, described: str) -> Mapping[str, bytes]:
    data = json.dumps({"title": title, "alt": described}, ensure_ascii=False)
    return {
        "main": _template("sheet.typ"),
        "data.json": data.encode("utf-8"),
        "drawing.svg": standing_alone(svg).encode("utf-8"),
    }


def _set(sources: Mapping[str, bytes], form: str, options: Mapping[str, Any]) -> tuple[bytes, ...]:
    """The pages in a form: one for PDF, one a page for PNG."""
    import typst

    fonts = typst.Fonts(include_system_fonts=False, font_paths=[str(_fonts_folder())])
    try:
        # Its type stub does not know of sources in memory.
        compiled: Any = typst.compile
        made = compiled(dict(sources), format=form, font_paths=fonts, timestamp=0, **options)
    except typst.TypstError as refused:
        raise CannotPrint(str(refused)) from None
    return tuple(made) if isinstance(made, list) else (made,)


@cache
def _template(name: str) -> bytes:
    return files("pedalwright.report.paper").joinpath(name).read_bytes()


@cache
def _fonts_folder() -> Path:
    """The plotting library brings the free sans-serif fonts; it need not be imported for that."""
    found = find_spec("matplotlib")
    if found is None or not found.submodule_search_locations:
        raise CannotPrint("The fonts that come with matplotlib are not installed.")
    return Path(found.submodule_search_locations[0]) / "mpl-data" / "fonts" / "ttf"
