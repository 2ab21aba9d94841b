"""A sheet as SVG: every part and every net an element with an id, colours from the page it stands in."""

from collections.abc import Iterable, Mapping, Sequence
from html import escape

from pedalwright.analysis.memo import Analysis
from pedalwright.report.drawing.desk import schematic
from pedalwright.report.drawing.metrics import shortened
from pedalwright.report.drawing.sheet import Flag, Frame, Ink, Label, Placed, Ring, Sheet, Wire
from pedalwright.report.drawing.symbols.shape import IEC
from pedalwright.report.identity import title_of
from pedalwright.report.plain_text import plain

STEP = 10
"""pixels in a step of the grid"""
MARGIN = 2.0
DOT = 0.22
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
)


def schematic_svg(analysis: Analysis, *, symbols: str = IEC) -> str:
    """The whole schematic of a circuit as one SVG file's text. `symbols` is ``iec`` or ``american``."""
    return sheet_svg(schematic(analysis, symbols=symbols))


def sheet_svg(sheet: Sheet) -> str:
    """A sheet as the text of an SVG file. The same sheet gives the same bytes."""
    idents = _Idents()
    box = sheet.box
    left, top = box.left - MARGIN, box.top - MARGIN
    width, height = box.right - box.left + 2 * MARGIN, box.bottom - box.top + 2 * MARGIN
    view = " ".join(_number(value * STEP) for value in (left, top, width, height))
    title = escape(plain(title_of(sheet.title)))
    body = "\n".join(
        (
            *_stages(sheet.frames, idents),
            *_nets(sheet, idents),
            *_parts(sheet.placed, sheet.labels, idents),
            *(_text(item) for item in sheet.labels if item.kind == "title"),
        )
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="schematic" role="img" viewBox="{view}" '
        f'width="{_number(width * STEP)}" height="{_number(height * STEP)}" aria-labelledby="drawing">\n'
        f'<title id="drawing">Schematic: {title}</title>\n<style>{STYLE}</style>\n{body}\n</svg>\n'
    )


class _Idents:
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


def _stages(frames: Sequence[Frame], idents: _Idents) -> Iterable[str]:
    for frame in frames:
        box = frame.box
        x, y = _number(box.left * STEP), _number(box.top * STEP)
        width, height = _number((box.right - box.left) * STEP), _number((box.bottom - box.top) * STEP)
        yield (
            f'<g class="stage" id="{idents.of("stage", frame.stage)}" data-kind="{_attribute(frame.kind)}">'
            f"<title>{_said(frame.title)}</title>"
            f'<rect x="{x}" y="{y}" width="{width}" height="{height}" rx="4"/></g>'
        )


def _nets(sheet: Sheet, idents: _Idents) -> Iterable[str]:
    """One group for each net: its wires in one path, its dots, its flags."""
    wires: dict[str, list[Wire]] = {}
    flags: dict[str, list[Flag]] = {}
    for wire in sheet.wires:
        wires.setdefault(wire.net, []).append(wire)
    for flag in sheet.flags:
        flags.setdefault(flag.net, []).append(flag)
    texts = _by_owner(item for item in sheet.labels if item.kind == "flag")
    for net in dict.fromkeys([*wires, *flags]):
        drawn = [_wires(wires.get(net, ()))]
        drawn += [_ink(Ring(dot.at, DOT, filled=True)) for dot in sheet.dots if dot.net == net]
        for flag in flags.get(net, ()):
            drawn.append(f'<g class="flag {flag.style}">{"".join(map(_ink, flag.ink))}</g>')
        drawn += [_text(item) for item in texts.get(net, ())]
        name = net.lstrip("~")
        yield (
            f'<g class="net" id="{idents.of("net", net)}" data-net="{_attribute(name)}">'
            f"<title>{_said(name)}</title>{''.join(drawn)}</g>"
        )


def _wires(wires: Sequence[Wire]) -> str:
    pieces = []
    for wire in wires:
        (x0, y0), (x1, y1) = wire.start, wire.end
        run = f"H{_at(x1)}" if y0 == y1 else f"V{_at(y1)}"
        pieces.append(f"M{_at(x0)} {_at(y0)}{run}")
    return f'<path class="wire" d="{"".join(pieces)}"/>' if pieces else ""


def _parts(placed: Sequence[Placed], labels: Sequence[Label], idents: _Idents) -> Iterable[str]:
    texts = _by_owner(item for item in labels if item.kind in ("name", "value", "mark", "inside"))
    for one in placed:
        box = one.body
        hit = (
            f'<path class="hit" d="M{_at(box.left)} {_at(box.top)}H{_at(box.right)}'
            f'V{_at(box.bottom)}H{_at(box.left)}z"/>'
        )
        drawn = "".join(map(_ink, one.ink)) + hit + "".join(_text(item) for item in texts.get(one.unit, ()))
        yield (
            f'<g class="part {one.symbol}" id="{idents.of("part", one.unit)}" '
            f'data-ref="{_attribute(one.part)}">'
            f"<title>{_said(f'{one.part} {one.says}')}</title>{drawn}</g>"
        )


def _by_owner(labels: Iterable[Label]) -> Mapping[str, list[Label]]:
    found: dict[str, list[Label]] = {}
    for item in labels:
        found.setdefault(item.owner, []).append(item)
    return found


def _ink(item: Ink) -> str:
    if isinstance(item, Ring):
        x, y = item.centre
        style = ' class="ink"' if item.filled else ""
        return f'<circle{style} cx="{_at(x)}" cy="{_at(y)}" r="{_number(item.radius * STEP)}"/>'
    points = "L".join(f"{_at(x)} {_at(y)}" for x, y in item.points)
    style = ' class="ink"' if item.filled else ""
    return f'<path{style} d="M{points}{"z" if item.closed else ""}"/>'


def _text(item: Label) -> str:
    anchor = "" if item.anchor == "start" else f' text-anchor="{item.anchor}"'
    y = item.y + item.size * 0.36
    return (
        f'<text class="{item.kind}" x="{_at(item.x)}" y="{_at(y)}" font-size="{_number(item.size * STEP)}"'
        f"{anchor}>{escape(item.text)}</text>"
    )


def _at(value: float) -> str:
    return _number(value * STEP)


def _number(value: float) -> str:
    return (
        f"{value:.1f}".removesuffix(".0").replace("-0", "0")
        if value == 0
        else f"{value:.1f}".removesuffix(".0")
    )


def _attribute(text: str) -> str:
    return escape(plain(text), quote=True)


def _said(text: str) -> str:
    return escape(shortened(text, 200))
