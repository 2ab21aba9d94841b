"""Drawings for paper: each a file of its own, with colours that print."""

import re

from pedalwright.report.blocks import Plot
from pedalwright.report.plot_svg import described, plot_svg

NAMESPACE = 'xmlns="http://www.w3.org/2000/svg"'
PRINTED = (
    ".plot .grid{stroke:#cfc8b8;stroke-width:.7;fill:none}"
    ".plot .zero{stroke:#57524a}"
    '.plot text,.plot .tick,.plot .name{fill:#57524a;font-family:"DejaVu Sans";font-size:10px}'
    ".plot .line{fill:none;stroke:#123f55;stroke-width:1.8;stroke-linejoin:round}"
    ".plot .l1{stroke:#6b2a08}"
    ".plot .dashed{stroke:#6b2a08;stroke-width:1.8;stroke-dasharray:5 5}"
    ".plot .shade{fill:#123f55}"
    ".plot .sheet{fill:none;stroke:#cfc8b8}"
    ".plot .mark{stroke:#6b2a08;stroke-width:1;stroke-dasharray:2 3;fill:none}"
)
"""what the page's style says about plots, in ink"""
_OPENING = re.compile(r"<svg\b[^>]*>")


def plot_picture(plot: Plot, ident: str) -> tuple[str, str, str] | None:
    """A plot as (SVG, its description, its caption); None when there is nothing finite to draw."""
    drawn = plot_svg(plot, ident)
    if not drawn:
        return None
    dashed = ", ".join(line.name for line in plot.lines if line.dashed)
    solid = ", ".join(line.name for line in plot.lines if not line.dashed)
    legend = f" (solid: {solid}; dashed: {dashed})" if dashed else ""
    return drawn, described(plot), f"{plot.title}{legend}"


def standing_alone(svg: str) -> str:
    """An `svg` element as a file: with its namespace, and the style of plots where it brings none."""
    opening = _OPENING.search(svg)
    if opening is None:
        return svg
    head = opening[0] if "xmlns=" in opening[0] else opening[0].replace("<svg", f"<svg {NAMESPACE}", 1)
    style = "" if "<style" in svg else f"<style>{PRINTED}</style>"
    return f"{svg[: opening.start()]}{head}{style}{svg[opening.end() :]}"
