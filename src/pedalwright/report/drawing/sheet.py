"""What a drawing is before a line of SVG is written: symbols with the places of their pins, wires, dots,
flags.

Places are whole steps of a grid, x to the right and y down, so that meeting and crossing are exact. Texts
alone stand at fractions of a step.
"""

from dataclasses import dataclass

Point = tuple[int, int]
Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle, in steps of the grid."""

    left: float
    top: float
    right: float
    bottom: float

    def moved(self, dx: float, dy: float) -> "Box":
        """The same rectangle elsewhere."""
        return Box(self.left + dx, self.top + dy, self.right + dx, self.bottom + dy)

    def around(self, other: "Box") -> "Box":
        """The smallest rectangle that holds both."""
        return Box(
            min(self.left, other.left),
            min(self.top, other.top),
            max(self.right, other.right),
            max(self.bottom, other.bottom),
        )


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line through points; `closed` joins the last to the first, `filled` inks what is inside."""

    points: tuple[Place, ...]
    closed: bool = False
    filled: bool = False


@dataclass(frozen=True, slots=True)
class Ring:
    """A circle; `filled` makes it a disc."""

    centre: Place
    radius: float
    filled: bool = False


Ink = Stroke | Ring


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """One line of text. `y` is the middle of its height, `anchor` ``start``, ``middle`` or ``end`` of it at
    `x`.

    `kind` is ``name``, ``value``, ``mark`` (a small sign at a symbol), ``inside`` (in a box), ``flag`` or
    ``title``; `owner` the designator or net it belongs to; `box` what it covers at most.
    """

    text: str
    x: float
    y: float
    anchor: str
    size: float
    kind: str
    owner: str
    box: Box

    def moved(self, dx: int, dy: int) -> "Label":
        """The same text elsewhere."""
        return Label(
            text=self.text,
            x=self.x + dx,
            y=self.y + dy,
            anchor=self.anchor,
            size=self.size,
            kind=self.kind,
            owner=self.owner,
            box=self.box.moved(dx, dy),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """One symbol on the sheet: `unit` is its own name (``U1a``), `part` the part it belongs to (``U1``).

    `pins` are the part's pins that this symbol shows, with their places; `body` is what no wire may enter.
    """

    unit: str
    part: str
    symbol: str
    pins: tuple[tuple[str, Point], ...]
    ink: tuple[Ink, ...]
    body: Box
    says: str = ""

    def moved(self, dx: int, dy: int) -> "Placed":
        """The same symbol elsewhere."""
        return Placed(
            unit=self.unit,
            part=self.part,
            symbol=self.symbol,
            pins=tuple((name, (x + dx, y + dy)) for name, (x, y) in self.pins),
            ink=tuple(moved_ink(item, dx, dy) for item in self.ink),
            body=self.body.moved(dx, dy),
            says=self.says,
        )


@dataclass(frozen=True, slots=True)
class Wire:
    """A straight piece of wire, upright or level. `net` is for colouring and clicking; the proof never asks
    it.
    """

    net: str
    start: Point
    end: Point

    def moved(self, dx: int, dy: int) -> "Wire":
        """The same wire elsewhere."""
        (x0, y0), (x1, y1) = self.start, self.end
        return Wire(self.net, (x0 + dx, y0 + dy), (x1 + dx, y1 + dy))


@dataclass(frozen=True, slots=True)
class Dot:
    """Wires that meet here are joined."""

    net: str
    at: Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Flag:
    """A named end: everything with the same `name` is one net.

    `style` is ``ground``, ``rail``, ``bias`` or ``signal``; it changes the look, never the
    meaning.
    """

    net: str
    name: str
    style: str
    at: Point
    ink: tuple[Ink, ...]
    box: Box

    def moved(self, dx: int, dy: int) -> "Flag":
        """The same flag elsewhere."""
        x, y = self.at
        ink = tuple(moved_ink(item, dx, dy) for item in self.ink)
        return Flag(
            net=self.net,
            name=self.name,
            style=self.style,
            at=(x + dx, y + dy),
            ink=ink,
            box=self.box.moved(dx, dy),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """Where one stage stands on the sheet: its name (``S3``), kind and title, and what it covers."""

    stage: str
    kind: str
    title: str
    box: Box


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """A whole drawing, complete before anything is written.

    `symbols_style` is ``iec`` or ``american``. `safe` is True when the drawing could not be proved in its
    proper layout and every pin has a flag of its own instead.
    """

    title: str
    symbols_style: str
    placed: tuple[Placed, ...]
    wires: tuple[Wire, ...]
    dots: tuple[Dot, ...]
    flags: tuple[Flag, ...]
    labels: tuple[Label, ...]
    frames: tuple[Frame, ...]
    box: Box
    points: tuple[tuple[str, str], ...] = ()
    """(net, name) of the places where the builder will put a probe"""
    safe: bool = False
    stage: str = ""
    """the name of the one stage shown; empty for the whole circuit"""
    plain_stages: tuple[str, ...] = ()
    """stages that are drawn part by part, because their own picture could not be proved"""


def moved_ink(item: Ink, dx: float, dy: float) -> Ink:
    """The same line or circle elsewhere."""
    if isinstance(item, Ring):
        return Ring((item.centre[0] + dx, item.centre[1] + dy), item.radius, item.filled)
    return Stroke(tuple((x + dx, y + dy) for x, y in item.points), item.closed, item.filled)
