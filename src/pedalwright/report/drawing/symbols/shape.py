"""What a symbol is: lines in a frame of its own, and where its pins are."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from pedalwright.report.drawing.sheet import Box, Ink, Place, Point, Ring, Stroke

IEC, AMERICAN = "iec", "american"
STYLES = (IEC, AMERICAN)


@dataclass(frozen=True, slots=True)
class Mark:
    """A small text at a symbol: a sign, a pin number. It stays upright when the symbol is turned."""

    text: str
    at: Place
    anchor: str = "middle"
    size: float = 0.8


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A symbol in its own frame: the pin `pins[0]` at (0, 0), the way through to the right.

    `ties` are wires that belong to it, such as a wiper joined to its own end. `body` is what no wire may
    enter. `faces` says of a pin where its wire leaves: ``left``, ``right``, ``up`` or ``down``.
    """

    name: str
    pins: Mapping[str, Point]
    ink: tuple[Ink, ...]
    body: Box
    marks: tuple[Mark, ...] = ()
    ties: tuple[tuple[Point, ...], ...] = ()
    faces: Mapping[str, str] = field(default_factory=dict)

    def turned(self, quarters: int) -> "Shape":
        """Turned clockwise by quarters of a turn around (0, 0)."""
        shape = self
        for _ in range(quarters % 4):
            shape = shape._mapped(lambda place: (-place[1], place[0]), _CLOCKWISE)
        return shape

    def upended(self) -> "Shape":
        """Mirrored top to bottom."""
        return self._mapped(lambda place: (place[0], -place[1]), _UPENDED)

    def mirrored(self) -> "Shape":
        """Mirrored left to right."""
        return self._mapped(lambda place: (-place[0], place[1]), _MIRRORED)

    def moved(self, dx: int, dy: int) -> "Shape":
        """The same shape elsewhere."""
        return self._mapped(lambda place: (place[0] + dx, place[1] + dy), {})

    def renamed(self, names: Mapping[str, str]) -> "Shape":
        """The same shape with other names for its pins; a pin without a new name is left out."""
        pins = {names[pin]: at for pin, at in self.pins.items() if pin in names}
        return replace(self, pins=pins, faces={names[p]: way for p, way in self.faces.items() if p in names})

    def _mapped(self, to: Callable[[Place], Place], ways: Mapping[str, str]) -> "Shape":
        def step(point: Point) -> Point:
            x, y = to(point)
            return int(x), int(y)

        corners = (to((self.body.left, self.body.top)), to((self.body.right, self.body.bottom)))
        xs, ys = sorted(x for x, _ in corners), sorted(y for _, y in corners)
        return replace(
            self,
            pins={name: step(at) for name, at in self.pins.items()},
            ink=tuple(_mapped_ink(item, to) for item in self.ink),
            body=Box(xs[0], ys[0], xs[1], ys[1]),
            marks=tuple(_mapped_mark(mark, to, ways) for mark in self.marks),
            ties=tuple(tuple(step(point) for point in tie) for tie in self.ties),
            faces={name: ways.get(way, way) for name, way in self.faces.items()},
        )


_CLOCKWISE = {"right": "down", "down": "left", "left": "up", "up": "right"}
_UPENDED = {"up": "down", "down": "up"}
_MIRRORED = {"left": "right", "right": "left"}
_OTHER_END = {"start": "end", "end": "start", "middle": "middle"}


def _mapped_mark(mark: Mark, to: Callable[[Place], Place], ways: Mapping[str, str]) -> Mark:
    anchor = _OTHER_END[mark.anchor] if ways.get("left") == "right" else mark.anchor
    return replace(mark, at=to(mark.at), anchor="middle" if ways is _CLOCKWISE else anchor)


def _mapped_ink(item: Ink, to: Callable[[Place], Place]) -> Ink:
    if isinstance(item, Ring):
        return replace(item, centre=to(item.centre))
    return replace(item, points=tuple(map(to, item.points)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Symbol:
    """One entry of the family: the device kinds it stands for, and how it is drawn in a style.

    `form` is ``two-pin`` (pins ``1`` at (0, 0) and ``2`` to the right), ``track`` or ``device``. `source`
    says where the look comes from.
    """

    name: str
    kinds: tuple[str, ...]
    form: str
    draw: Callable[[str], Shape]
    source: str


def line(*points: Place) -> Stroke:
    """An open line."""
    return Stroke(points)


def outline(*points: Place) -> Stroke:
    """A closed, empty figure."""
    return Stroke(points, closed=True)


def solid(*points: Place) -> Stroke:
    """A closed, inked figure."""
    return Stroke(points, closed=True, filled=True)


def arrow(tail: Place, tip: Place, *, head: float = 0.45) -> tuple[Ink, ...]:
    """A thin arrow with an inked head."""
    dx, dy = tip[0] - tail[0], tip[1] - tail[1]
    length = (dx * dx + dy * dy) ** 0.5
    ux, uy = dx / length, dy / length
    back = (tip[0] - ux * head, tip[1] - uy * head)
    wing = head * 0.4
    wings = ((back[0] - uy * wing, back[1] + ux * wing), (back[0] + uy * wing, back[1] - ux * wing))
    return (line(tail, back), solid(tip, *wings))


def two_pin(name: str, ink: tuple[Ink, ...], body: Box, marks: tuple[Mark, ...] = ()) -> Shape:
    """A symbol of four steps between its pins ``1`` and ``2``."""
    return Shape(
        name=name,
        pins={"1": (0, 0), "2": (4, 0)},
        ink=ink,
        body=body,
        marks=marks,
        faces={"1": "left", "2": "right"},
    )
