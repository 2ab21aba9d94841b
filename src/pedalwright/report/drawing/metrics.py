"""How wide a text is at most, without a font at hand.

The widths are those of DejaVu Sans, read from the font file that comes with Matplotlib: a wide face, so
that a text set in Arial, Helvetica or Liberation Sans covers less than is said here.
"""

from pedalwright.report.drawing.sheet import Box, Label
from pedalwright.report.plain_text import plain

FIRST = 32
WIDTHS = (
    318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337, 636, 636, 636, 636, 636,
    636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 531, 1000, 684, 686, 698, 770, 632, 575, 775, 752, 295,
    295, 656, 557, 863, 748, 787, 603, 787, 695, 635, 611, 732, 684, 989, 685, 611, 685, 390, 337, 390, 838,
    500, 500, 613, 635, 550, 635, 615, 352, 635, 634, 278, 278, 579, 278, 974, 634, 612, 635, 635, 411, 521,
    392, 634, 592, 818, 592, 592, 525, 636, 337, 636, 838,
)  # fmt: skip
"""Thousandths of the letter size, from the blank to the tilde."""
OTHERS = {"µ": 636, "Ω": 764, "×": 838, "−": 838}
WIDEST = 1050
"""any other character: a Chinese one is as wide as it is high"""
BOLDER = 1.08
"""names are set in a heavier cut"""
HEIGHT = 1.16
"""from the top of a capital with its accent to the foot of a g, in letter sizes"""
ELLIPSIS = "…"


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """The most a line of text takes, in the unit of `size`."""
    total = sum(_width(character) for character in text)
    return total * size / 1000 * (BOLDER if bold else 1.0)


def shortened(text: str, longest: int) -> str:
    """A text of one line with nothing unseen in it, cut to `longest` characters with an ellipsis."""
    said = plain(text)
    return said if len(said) <= longest else said[: longest - 1].rstrip() + ELLIPSIS


def label(text: str, x: float, y: float, *, anchor: str, size: float, kind: str, owner: str) -> Label:
    """A text with the box it covers at most."""
    width = text_width(text, size, bold=kind in ("name", "inside", "title"))
    left = {"start": x, "middle": x - width / 2, "end": x - width}[anchor]
    box = Box(left, y - size * HEIGHT / 2, left + width, y + size * HEIGHT / 2)
    return Label(text=text, x=x, y=y, anchor=anchor, size=size, kind=kind, owner=owner, box=box)


def _width(character: str) -> int:
    place = ord(character) - FIRST
    if 0 <= place < len(WIDTHS):
        return WIDTHS[place]
    return OTHERS.get(character, WIDEST)
