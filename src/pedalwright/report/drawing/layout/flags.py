"""The look of a net's loose end: ground, rail, bias flag or named flag, facing any of four ways."""

from dataclasses import dataclass

from pedalwright.report.drawing.metrics import label, text_width
from pedalwright.report.drawing.sheet import Box, Ink, Label, Place, Point, Stroke, moved_ink

SIZE = 1.0
HALF = 0.75
STUB = 0.6
LOW = 0.4


@dataclass(frozen=True, slots=True)
class Drawn:
    """A flag's lines, texts and what it covers."""

    ink: tuple[Ink, ...]
    labels: tuple[Label, ...]
    box: Box


def flag_ink(style: str, name: str, volts: str, at: Point, facing: str, net: str) -> Drawn:
    """The flag at the end of a wire that stops at `at`; `facing` is where the flag lies from there."""
    if style == "ground":
        drawn = _ground(facing)
    elif style == "rail":
        drawn = _rail(f"{name} {volts}".strip(), facing, net)
    else:
        drawn = _pennant(name, facing, net)
    x, y = at
    return Drawn(
        tuple(moved_ink(item, x, y) for item in drawn.ink),
        tuple(item.moved(x, y) for item in drawn.labels),
        drawn.box.moved(x, y),
    )


def _lead(facing: str, up: float) -> tuple[Stroke, Place, float]:
    """A short wire to where an upright symbol stands: its line, that place, and the sign of y from there."""
    if facing in ("up", "down"):
        sign = -1.0 if facing == "up" else 1.0
        return Stroke(((0, 0), (0, STUB * sign))), (0, STUB * sign), sign
    side = 1.0 if facing == "right" else -1.0
    return Stroke(((0, 0), (side, 0), (side, LOW * up))), (side, LOW * up), up


def _ground(facing: str) -> Drawn:
    lead, (x, y), sign = _lead(facing, 1.0)
    bars = tuple(
        Stroke(((x - half, y + sign * drop), (x + half, y + sign * drop)))
        for half, drop in ((0.9, 0.0), (0.55, 0.35), (0.2, 0.7))
    )
    ys = sorted((y, y + sign * 0.75))
    return Drawn((lead, *bars), (), Box(x - 0.9, ys[0], x + 0.9, ys[1]))


def _rail(text: str, facing: str, net: str) -> Drawn:
    lead, (x, y), sign = _lead(facing, -1.0)
    middle = y + sign * 0.85
    said = label(text, x, middle, anchor="middle", size=SIZE, kind="flag", owner=net)
    bar = Stroke(((x - 0.9, y), (x + 0.9, y)))
    box = said.box.around(Box(x - 0.9, y, x + 0.9, y))
    return Drawn((lead, bar), (said,), box)


def _pennant(name: str, facing: str, net: str) -> Drawn:
    width = text_width(name, SIZE)
    if facing in ("up", "down"):
        sign = -1 if facing == "up" else 1
        near, far = STUB * sign, (STUB + 2 * HALF) * sign
        half = width / 2 + 0.35
        said = label(name, 0, (near + far) / 2, anchor="middle", size=SIZE, kind="flag", owner=net)
        edge = ((-half, near), (half, near), (half, far), (-half, far))
        ink = (Stroke(((0, 0), (0, near))), Stroke(edge, closed=True))
        return Drawn(ink, (said,), Box(-half, min(near, far), half, max(near, far)))
    side = 1 if facing == "right" else -1
    end = side * (STUB + 0.5 + width + 0.3)
    root, shoulder = side * 0.4, side * (0.4 + HALF * 0.6)
    outline = ((root, 0), (shoulder, -HALF), (end, -HALF), (end, HALF), (shoulder, HALF))
    anchor = "start" if side > 0 else "end"
    said = label(name, side * (STUB + 0.45), 0, anchor=anchor, size=SIZE, kind="flag", owner=net)
    ink = (Stroke(((0, 0), (root, 0))), Stroke(outline, closed=True))
    return Drawn(ink, (said,), Box(min(root, end), -HALF, max(root, end), HALF))
