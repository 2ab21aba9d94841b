"""A sheet as SVG: every part and every net an element with an id, colours from the page it stands in."""

from collections.abc import Iterable, Mapping, Sequence
from html import escape

from pedalwright.analysis.memo import Analysis
from pedalwright.report.drawing.desk import schematic
from pedalwright.report.drawing.metrics import shortened
from pedalwright.report.drawing.rows import WIDEST
from pedalwright.report.drawing.sheet import Flag, Frame, Label, Placed, Ring, Sheet, Wire
from pedalwright.report.drawing.svg_bits import (
    STEP,
    Idents,
    at,
    attribute,
    drawn_ink,
    drawn_text,
    number,
    opening,
)
from pedalwright.report.drawing.symbols.shape import IEC
from pedalwright.report.identity import title_of
from pedalwright.report.plain_text import plain

DOT = 0.22


def schematic_svg(analysis: Analysis, *, symbols: str = IEC, widest: int = WIDEST) -> str:
    """The whole schematic of a circuit as one SVG file's text. `symbols` is ``iec`` or ``american``; rows are
    wrapped at `widest` steps of ten pixels.
    """
    return sheet_svg(schematic(analysis, symbols=symbols, widest=widest))


def sheet_svg(sheet: Sheet) -> str:
    """A sheet as the text of an SVG file. The same sheet gives the same bytes."""
    idents = Idents()
    title = escape(plain(title_of(sheet.title)))
    body = "\n".join(
        (
            *_stages(sheet.frames, idents),
            *_nets(sheet, idents),
            *_parts(sheet.placed, sheet.labels, idents),
            *(drawn_text(item) for item in sheet.labels if item.kind == "title"),
        )
    )
    return f"{opening(sheet.box, f'Schematic: {title}', 'schematic')}{body}\n</svg>\n"


def _stages(frames: Sequence[Frame], idents: Idents) -> Iterable[str]:
    for frame in frames:
        box = frame.box
        x, y = number(box.left * STEP), number(box.top * STEP)
        width, height = number((box.right - box.left) * STEP), number((box.bottom - box.top) * STEP)
        yield (
            f'<g class="stage" id="{idents.of("stage", frame.stage)}" data-kind="{attribute(frame.kind)}">'
            f"<title>{_said(frame.title)}</title>"
            f'<rect x="{x}" y="{y}" width="{width}" height="{height}" rx="4"/></g>'
        )


def _nets(sheet: Sheet, idents: Idents) -> Iterable[str]:
    """One group for each net: its wires in one path, its dots, its flags."""
    wires: dict[str, list[Wire]] = {}
    flags: dict[str, list[Flag]] = {}
    for wire in sheet.wires:
        wires.setdefault(wire.net, []).append(wire)
    for flag in sheet.flags:
        flags.setdefault(flag.net, []).append(flag)
    texts = _by_owner(item for item in sheet.labels if item.kind == "flag")
    points = dict(sheet.points)
    for net in dict.fromkeys([*wires, *flags]):
        drawn = [_wires(wires.get(net, ()))]
        drawn += [drawn_ink(Ring(dot.at, DOT, filled=True)) for dot in sheet.dots if dot.net == net]
        for flag in flags.get(net, ()):
            drawn.append(f'<g class="flag {flag.style}">{"".join(map(drawn_ink, flag.ink))}</g>')
        drawn += [drawn_text(item) for item in texts.get(net, ())]
        name = net.lstrip("~")
        style = "net point" if net in points else "net"
        told = f"{name}: {points[net]}" if net in points else name
        yield (
            f'<g class="{style}" id="{idents.of("net", net)}" data-net="{attribute(name)}">'
            f"<title>{_said(told)}</title>{''.join(drawn)}</g>"
        )


def _wires(wires: Sequence[Wire]) -> str:
    pieces = []
    for wire in wires:
        (x0, y0), (x1, y1) = wire.start, wire.end
        run = f"H{at(x1)}" if y0 == y1 else f"V{at(y1)}"
        pieces.append(f"M{at(x0)} {at(y0)}{run}")
    return f'<path class="wire" d="{"".join(pieces)}"/>' if pieces else ""


def _parts(placed: Sequence[Placed], labels: Sequence[Label], idents: Idents) -> Iterable[str]:
    texts = _by_owner(item for item in labels if item.kind in ("name", "value", "mark", "inside"))
    for one in placed:
        box = one.body
        hit = (
            f'<path class="hit" d="M{at(box.left)} {at(box.top)}H{at(box.right)}'
            f'V{at(box.bottom)}H{at(box.left)}z"/>'
        )
        drawn = (
            "".join(map(drawn_ink, one.ink))
            + hit
            + "".join(drawn_text(item) for item in texts.get(one.unit, ()))
        )
        yield (
            f'<g class="part {one.symbol}" id="{idents.of("part", one.unit)}" '
            f'data-ref="{attribute(one.part)}">'
            f"<title>{_said(f'{one.part} {one.says}')}</title>{drawn}</g>"
        )


def _by_owner(labels: Iterable[Label]) -> Mapping[str, list[Label]]:
    found: dict[str, list[Label]] = {}
    for item in labels:
        found.setdefault(item.owner, []).append(item)
    return found


def _said(text: str) -> str:
    return escape(shortened(text, 200))
