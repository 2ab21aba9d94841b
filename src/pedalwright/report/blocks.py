"""What a document is made of, whatever it is written as: plain text in blocks, and no markup in any of them.

Every writer (terminal, HTML, Markdown) escapes every text of a block, so that nothing a circuit says can
become markup.
"""

from dataclasses import dataclass, field
from enum import Enum

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


class Tone(Enum):
    """How a paragraph is meant."""

    PLAIN = "plain"
    LEAD = "lead"
    """opens a section"""
    QUIET = "quiet"
    """a source, a condition: for whom it concerns"""
    GOOD = "good"
    """something was confirmed"""
    DOUBT = "doubt"
    """something was not confirmed, or is refused"""


@dataclass(frozen=True, slots=True)
class Paragraph:
    """One paragraph."""

    text: str
    tone: Tone = Tone.PLAIN


@dataclass(frozen=True, slots=True)
class Points:
    """A list of sentences of equal weight."""

    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Facts:
    """Names with what they are, one below the other."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table; the first column heads its rows. `figures` are the places of columns that hold numbers."""

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    figures: tuple[int, ...] = ()
    targets: tuple[str, ...] = ()
    """the anchor each row leads to, or empty"""


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula in plain letters and where it is published."""

    text: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One part: its designator, what it is, its role, and sentences about it."""

    name: str
    label: str
    role: str
    texts: tuple[str, ...]
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class Entries:
    """Parts one below the other."""

    items: tuple[Entry, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Line:
    """One line of a plot, point for point with the plot's frequencies."""

    name: str
    values: FloatArray
    dashed: bool = False
    filled: bool = False
    """what the line goes around is filled: bars"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shade:
    """A range in a plot, from `low` to `high`, point for point with the plot's frequencies."""

    name: str
    low: FloatArray
    high: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Plot:
    """Values over frequency on a logarithmic axis in hertz; or over something else on an even one, when
    `across` names it: `frequency_hz` then holds that.
    """

    title: str
    unit: str
    frequency_hz: FloatArray
    lines: tuple[Line, ...]
    quantity: str = "level"
    in_letters: bool = False
    """worth drawing on a terminal, too"""
    across: str = ""
    """what an even axis is called, ``TIME, 0 to 10``; empty for frequency"""
    wide: bool = False
    """as wide as the page"""
    shades: tuple[Shade, ...] = ()
    """drawn beneath the lines"""
    by_ratio: bool = False
    """values over decades: equal ratios are equally far apart; what is not above zero is not drawn"""


@dataclass(frozen=True, slots=True)
class Plots:
    """Plots that belong together."""

    items: tuple[Plot, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Field:
    """Levels over time as shades: `levels_db` (rows, columns), the lowest row first, the columns spread
    evenly from nothing to `seconds`.
    """

    title: str
    seconds: float
    levels_db: FloatArray
    depth_db: float
    """what is this far below the highest level, or further, has no shade"""
    quantity: str
    """what the rows are: ``frequency, Hz``"""
    ticks: tuple[tuple[float, str], ...]
    """(how far up, 0 to 1, its name)"""
    marks: tuple[tuple[float, str], ...] = ()
    """(seconds, what is there)"""


@dataclass(frozen=True, slots=True)
class Fields:
    """Fields that belong together, one below the other."""

    items: tuple[Field, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Clip:
    """A short sound, played where the document can and when its reader asks; elsewhere a sentence tells
    of it.
    """

    title: str
    told: str
    """how loud it is, and what to mind"""
    seconds: float
    data: bytes
    media_type: str
    """``audio/flac``"""


@dataclass(frozen=True, slots=True)
class Clips:
    """Sounds that belong together."""

    items: tuple[Clip, ...]


@dataclass(frozen=True, slots=True)
class Box:
    """Advice set apart: (what it is about, what to do)."""

    items: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Links:
    """Files beside this one: (file name, title, a word about it)."""

    items: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True)
class Steps:
    """Things to do one after the other, numbered."""

    items: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A drawing as one `svg` element, written by Pedalwright itself with every text of the circuit escaped:
    it is the only block that goes into a page as it is. `described` is the drawing in words.
    """

    svg: str
    described: str
    caption: str
    landscape: bool = False
    """wider than a page of paper is: give it a page of its own, turned"""


@dataclass(frozen=True, slots=True)
class Pictures:
    """Drawings, one below the other."""

    items: tuple[Picture, ...]


Block = (
    Links
    | Paragraph
    | Points
    | Steps
    | Facts
    | Table
    | Formula
    | Entries
    | Plots
    | Pictures
    | Fields
    | Clips
    | Box
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A heading, what stands under it, and the sections inside it. `anchor` is a name of ASCII letters,
    digits and dashes.
    """

    anchor: str
    heading: str
    blocks: tuple[Block, ...] = ()
    sections: tuple["Section", ...] = ()
    aside: str = ""
    """a few words beside the heading"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """A whole document."""

    title: str
    lead: tuple[str, ...] = ()
    sections: tuple[Section, ...] = ()
    closing: tuple[str, ...] = field(default=())
    """the last lines: fingerprint and origin"""
