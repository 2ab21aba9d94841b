"""A plot's SVG read back: where its axes are, where everything drawn lies, what its texts take up."""

import re
from dataclasses import dataclass
from xml.etree import ElementTree

SVG = "{http://www.w3.org/2000/svg}"
LETTER_WIDTH, LETTER_HEIGHT = 7.0, 11.0
"""pixels of an 11-pixel letter without serifs, on the wide side: digits are 0.55 to 0.64 of the size wide"""
_NUMBER = r"-?\d+(?:\.\d+)?"


@dataclass(frozen=True)
class Box:
    """Left, top, right and bottom."""

    left: float
    top: float
    right: float
    bottom: float

    def holds(self, other: "Box", room: float = 0.0) -> bool:
        """Whether another box lies inside, give or take `room`."""
        return (
            self.left - room <= other.left
            and self.top - room <= other.top
            and other.right <= self.right + room
            and other.bottom <= self.bottom + room
        )

    def meets(self, other: "Box") -> bool:
        """Whether two boxes overlap."""
        across = self.left < other.right and other.left < self.right
        return across and self.top < other.bottom and other.top < self.bottom


@dataclass(frozen=True)
class Drawing:
    """What was read back."""

    root: ElementTree.Element

    def all(self, tag: str) -> list[ElementTree.Element]:
        """Every element of a kind, with or without a namespace."""
        return [item for item in self.root.iter() if item.tag in (tag, SVG + tag)]

    @property
    def view(self) -> Box:
        """The whole picture."""
        left, top, width, height = map(float, self.root.get("viewBox", "").split())
        return Box(left, top, left + width, top + height)

    @property
    def axes(self) -> Box:
        """What lines and shades are cut off at."""
        (clip,) = self.all("clipPath")
        return bounds(clip[0].get("d", ""))

    @property
    def inside(self) -> list[ElementTree.Element]:
        """What is cut off at the axes."""
        (group,) = [item for item in self.all("g") if item.get("clip-path")]
        return list(group)

    @property
    def grid(self) -> list[Box]:
        """The lines of the grid."""
        return [bounds(item.get("d", "")) for item in self.all("path") if "grid" in item.get("class", "")]

    @property
    def ticks(self) -> list[Box]:
        """The numbers at the axes."""
        return [text_box(item) for item in self.all("text") if item.get("class") == "tick"]


def read_back(svg: str) -> Drawing:
    """The drawing of some text; raises ParseError for what is not well formed."""
    return Drawing(ElementTree.fromstring(svg))


def points(path: str) -> list[tuple[float, float]]:
    """The corners of a path of M, L, H, V and z."""
    found: list[tuple[float, float]] = []
    for command, rest in re.findall(r"([MLHVz])([^MLHVz]*)", path):
        numbers = [float(one) for one in re.findall(_NUMBER, rest)]
        if command in "ML":
            found.append((numbers[0], numbers[1]))
        elif command == "H":
            found.append((numbers[0], found[-1][1]))
        elif command == "V":
            found.append((found[-1][0], numbers[0]))
    return found


def bounds(path: str) -> Box:
    """Around a path."""
    x, y = zip(*points(path), strict=True)
    return Box(min(x), min(y), max(x), max(y))


def text_box(item: ElementTree.Element) -> Box:
    """About what a level text takes up."""
    width = LETTER_WIDTH * len(item.text or "")
    x, y = float(item.get("x", "0")), float(item.get("y", "0"))
    anchor = item.get("text-anchor", "start")
    left = x - {"start": 0.0, "middle": width / 2, "end": width}[anchor]
    base = y + (0.33 * LETTER_HEIGHT if item.get("dy") else 0.0)
    return Box(left, base - 0.75 * LETTER_HEIGHT, left + width, base)
