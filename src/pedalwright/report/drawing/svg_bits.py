"""The small pieces of a drawing's SVG: lines, texts, ids, numbers, and how the file begins."""

from html import escape

from pedalwright.report.drawing.sheet import Box, Ink, Label, Ring
from pedalwright.report.plain_text import plain

STEP = 10
"""pixels in a step of the grid"""
MARGIN = 2.0
STYLE = (
    ".schematic{color:inherit;background:none}"
    ".schematic path,.schematic circle{fill:none;stroke:currentColor;stroke-width:1.3;"
    "stroke-linejoin:round;stroke-linecap:round}"
    ".schematic .ink{fill:currentColor}"
    ".schematic .hit{stroke:none;fill:transparent;pointer-events:all}"
    ".schematic .stage rect{fill:currentColor;fill-opacity:.035;stroke:currentColor;stroke-opacity:.18;"
    "stroke-width:.8}"
    ".schematic text{fill:currentColor;stroke:none;font-family:Arial,Helvetica,'Liberation Sans',sans-serif}"
    ".schematic .name,.schematic .inside,.schematic .title{font-weight:600}"
    ".schematic .mark{opacity:.8}"
    ".schematic .title{opacity:.75}"
    ".schematic .bias path,.schematic .signal path{stroke-width:1}"
    ".schematic .point .flag path{stroke-width:1.9}"
    ".schematic .station rect{fill:currentColor;fill-opacity:.06;stroke:currentColor;stroke-width:1.2}"
    ".schematic .back path{stroke-width:2;stroke-dasharray:7 4}"
    ".schematic .back path.ink{stroke-dasharray:none}"
)


def opening(box: Box, title: str, ident: str) -> str:
    """How the file begins: what is drawn with a margin round it, its title (already escaped), the style."""
    left, top = box.left - MARGIN, box.top - MARGIN
    width, height = box.right - box.left + 2 * MARGIN, box.bottom - box.top + 2 * MARGIN
    view = " ".join(number(value * STEP) for value in (left, top, width, height))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="schematic" role="img" viewBox="{view}" '
        f'width="{number(width * STEP)}" height="{number(height * STEP)}" aria-labelledby="{ident}">\n'
        f'<title id="{ident}">{title}</title>\n<style>{STYLE}</style>\n'
    )


class Idents:
    """Ids that are safe in markup and differ from one another."""

    def __init__(self) -> None:
        self._taken: set[str] = set()

    def of(self, kind: str, name: str) -> str:
        """``part-R5``: letters, digits, ``-``, ``_`` and ``.``, whatever the name holds."""
        said = "".join(c if c.isascii() and (c.isalnum() or c in "-_.") else "_" for c in name.lstrip("~"))
        base = ident = f"{kind}-{said}"
        place = 2
        while ident in self._taken:
            ident, place = f"{base}_{place}", place + 1
        self._taken.add(ident)
        return ident


def drawn_ink(item: Ink) -> str:
    """A line or a circle."""
    if isinstance(item, Ring):
        x, y = item.centre
        style = ' class="ink"' if item.filled else ""
        return f'<circle{style} cx="{at(x)}" cy="{at(y)}" r="{number(item.radius * STEP)}"/>'
    points = "L".join(f"{at(x)} {at(y)}" for x, y in item.points)
    style = ' class="ink"' if item.filled else ""
    return f'<path{style} d="M{points}{"z" if item.closed else ""}"/>'


def drawn_text(item: Label) -> str:
    """A text, escaped."""
    anchor = "" if item.anchor == "start" else f' text-anchor="{item.anchor}"'
    y = item.y + item.size * 0.36
    return (
        f'<text class="{item.kind}" x="{at(item.x)}" y="{at(y)}" font-size="{number(item.size * STEP)}"'
        f"{anchor}>{escape(item.text)}</text>"
    )


def at(value: float) -> str:
    """A place in pixels."""
    return number(value * STEP)


def number(value: float) -> str:
    """A number to a tenth, without a needless nought."""
    return (
        f"{value:.1f}".removesuffix(".0").replace("-0", "0")
        if value == 0
        else f"{value:.1f}".removesuffix(".0")
    )


def attribute(text: str) -> str:
    """A text fit for an attribute."""
    return escape(plain(text), quote=True)
