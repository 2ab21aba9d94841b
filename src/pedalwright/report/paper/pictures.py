"""Drawings for paper: each a file of its own, with colours that print."""

import re

from pedalwright.report.blocks import Plot
from pedalwright.report.plot_svg import described, legend, plot_svg

NAMESPACE = 'xmlns="http://www.w3.org/2000/svg"'
PRINTED = (
    ".plot .grid{stroke:#cfc8b8;stroke-width:.7;fill:none}"
    ".plot .zero{stroke:#57524a}"
    '.plot text,.plot .tick,.plot .name{fill:#57524a;font-family:"DejaVu Sans";font-size:10px}'
    ".plot .line{fill:none;stroke:#123f55;stroke-width:1.8;stroke-linejoin:round}"
    ".plot .l1{stroke:#6b2a08}"
    ".plot .dashed{stroke:#6b2a08;stroke-width:1.8;stroke-dasharray:5 5}"
    ".plot .shade{fill:#123f55}"
    ".plot .filled{fill:#123f55;stroke-width:.5}"
    ".plot .range{fill:#123f55;fill-opacity:.18}"
    ".plot .sheet{fill:none;stroke:#cfc8b8}"
    ".plot .mark{stroke:#6b2a08;stroke-width:1;stroke-dasharray:2 3;fill:none}"
)
"""what the page's style says about plots, in ink"""
_OPENING = re.compile(r"<svg\b[^>]*>")
_FACES = re.compile(r"font-family:[^;}\"<]*")
PAPER_FACE = "font-family:'DejaVu Sans'"
"""the only face without serifs that is at hand everywhere; drawings keep room for its width"""
_VIEW = re.compile(r'viewBox="[-\d.]+ [-\d.]+ ([\d.]+) ([\d.]+)"')
PAGE_WIDTH_MM, TALLEST_MM = 174.0, 218.0
"""what the margins of an A4 page leave for a picture below its heading"""
MM_IN_A_PIXEL = 0.22
"""letters of 11 pixels are then nearly as high as those of the text"""
UPRIGHT_MM, TURNED_MM = (188.0, 232.0), (275.0, 150.0)
"""width and height for a drawing on a page of its own, below its heading"""


def plot_picture(plot: Plot, ident: str) -> tuple[str, str, str] | None:
    """A plot as (SVG, its description, its caption); None when there is nothing finite to draw."""
    drawn = plot_svg(plot, ident)
    if not drawn:
        return None
    told = legend(plot).replace(f"solid: {plot.title}; ", "")
    return drawn, described(plot), f"{plot.title} ({told})" if told else plot.title


def standing_alone(svg: str) -> str:
    """An `svg` element as a file: with its namespace, and the style of plots where it brings none."""
    opening = _OPENING.search(svg)
    if opening is None:
        return svg
    head = opening[0] if "xmlns=" in opening[0] else opening[0].replace("<svg", f"<svg {NAMESPACE}", 1)
    style = "" if "<style" in svg else f"<style>{PRINTED}</style>"
    return f"{svg[: opening.start()]}{head}{style}{_FACES.sub(PAPER_FACE, svg[opening.end() :])}"


def size_of(svg: str) -> tuple[float, float] | None:
    """Width and height of a drawing in its own pixels; None where it does not say."""
    found = _VIEW.search(svg)
    return (float(found[1]), float(found[2])) if found is not None else None


def page_of(svg: str) -> str | None:
    """``turned`` or ``upright``: the page of its own that a drawing wants which is wider than the text; None
    for one that is not.
    """
    size = size_of(svg)
    if size is None or size[0] * MM_IN_A_PIXEL <= PAGE_WIDTH_MM:
        return None
    upright, turned = (min(page[0] / size[0], page[1] / size[1]) for page in (UPRIGHT_MM, TURNED_MM))
    return "turned" if turned > upright else "upright"


def width_share(svg: str) -> int:
    """Per cent of the page's width for a drawing: its own size where that fits, and never too high."""
    size = size_of(svg)
    if size is None or min(size) <= 0:
        return 100
    width_mm = min(PAGE_WIDTH_MM, size[0] * MM_IN_A_PIXEL, TALLEST_MM * size[0] / size[1])
    return max(1, int(100 * width_mm / PAGE_WIDTH_MM))
