"""How much things on a sheet cover one another: texts, symbols, flags and wires. Nothing is the aim."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from pedalwright.report.drawing.sheet import Box, Flag, Label, Placed, Wire

SLACK = 0.01


@dataclass(frozen=True, slots=True)
class Clash:
    """Two things that cover each other, by how many square steps (a wire: by how many steps of it)."""

    sort: str
    first: str
    second: str
    amount: float


def clashes(
    placed: Sequence[Placed], wires: Sequence[Wire], flags: Sequence[Flag], labels: Sequence[Label]
) -> tuple[Clash, ...]:
    """Every clash: text on text, text on symbol, symbol on symbol, wire through a symbol, wire through a
    text.
    """
    bodies = [(f"{one.unit}", one.body) for one in placed] + [
        (f"flag {flag.name}", flag.box) for flag in flags
    ]
    texts = [item for item in labels if item.kind != "flag"]
    found = list(_pairs("symbol/symbol", bodies))
    found += _pairs("text/text", [(item.text, item.box) for item in texts])
    found += _texts_on_symbols(texts, placed, flags)
    found += _wires_through(wires, [*bodies, *((item.text, item.box) for item in texts)])
    return tuple(found)


def _pairs(sort: str, items: Sequence[tuple[str, Box]]) -> Iterator[Clash]:
    order = sorted(items, key=lambda item: item[1].left)
    for place, (name, box) in enumerate(order):
        for other, far in order[place + 1 :]:
            if far.left >= box.right:
                break
            if (amount := shared(box, far)) > SLACK:
                yield Clash(sort, name, other, amount)


def _texts_on_symbols(
    texts: Iterable[Label], placed: Sequence[Placed], flags: Sequence[Flag]
) -> Iterator[Clash]:
    bodies = [(one.unit, one.body) for one in placed] + [(f"flag {flag.name}", flag.box) for flag in flags]
    for item in texts:
        for name, body in bodies:
            mine = item.kind in ("mark", "inside") and item.owner == name
            if not mine and (amount := shared(item.box, body)) > SLACK:
                yield Clash("text/symbol", item.text, name, amount)


def _wires_through(wires: Iterable[Wire], bodies: Sequence[tuple[str, Box]]) -> Iterator[Clash]:
    for wire in wires:
        (x0, x1), (y0, y1) = sorted((wire.start[0], wire.end[0])), sorted((wire.start[1], wire.end[1]))
        for name, box in bodies:
            if y0 == y1:
                inside = box.top + SLACK < y0 < box.bottom - SLACK
                amount = min(x1, box.right) - max(x0, box.left)
            else:
                inside = box.left + SLACK < x0 < box.right - SLACK
                amount = min(y1, box.bottom) - max(y0, box.top)
            if inside and amount > SLACK:
                yield Clash("wire/body", wire.net, name, amount)


def shared(first: Box, second: Box) -> float:
    """The area two rectangles share, in square steps."""
    across = min(first.right, second.right) - max(first.left, second.left)
    down = min(first.bottom, second.bottom) - max(first.top, second.top)
    return across * down if across > 0 and down > 0 else 0.0
