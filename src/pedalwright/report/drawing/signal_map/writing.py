"""The signal map as SVG."""

from collections.abc import Iterable
from html import escape

from pedalwright.analysis.memo import Analysis
from pedalwright.report.drawing.sheet import Ring, Stroke
from pedalwright.report.drawing.signal_map.layout import Arrow, SignalMap, Station, signal_map
from pedalwright.report.drawing.svg_bits import (
    STEP,
    Idents,
    attribute,
    drawn_ink,
    drawn_text,
    number,
    opening,
)
from pedalwright.report.drawing.symbols.shape import arrow
from pedalwright.report.identity import title_of
from pedalwright.report.plain_text import plain

NOTE = "Gain and peak level at 1 kHz for the stated source; the band is where the level has fallen by 3 dB"
HEAD, DOT = 0.8, 0.25


def signal_map_svg(analysis: Analysis) -> str:
    """The signal map of a circuit as one SVG file's text."""
    return map_svg(signal_map(analysis))


def map_svg(drawn: SignalMap) -> str:
    """A map as the text of an SVG file. The same map gives the same bytes."""
    idents = Idents()
    body = "\n".join(
        (
            *(_arrow(one) for one in drawn.arrows),
            *_dots(drawn),
            *(_station(one, idents) for one in drawn.stations),
            *(drawn_text(item) for item in drawn.labels),
        )
    )
    title = escape(plain(title_of(drawn.title)))
    return f"{opening(drawn.box, f'Signal map: {title}. {NOTE}', 'signal-map')}{body}\n</svg>\n"


def _arrow(one: Arrow) -> str:
    *way, before, tip = one.points
    head = arrow(before, tip, head=HEAD)
    line = drawn_ink(Stroke((*way, before))) if way else ""
    style = "way back" if one.back else "way"
    return (
        f'<g class="{style}" data-net="{attribute(one.net.lstrip("~"))}">'
        f"{line}{''.join(map(drawn_ink, head))}</g>"
    )


def _dots(drawn: SignalMap) -> Iterable[str]:
    """A dot where a way leaves the straight arrow out of the same block."""
    straight = {one.start for one in drawn.arrows if len(one.points) == 2}
    turned = {one.points[1]: one.start for one in drawn.arrows if len(one.points) > 2}
    several = [one.points[1] for one in drawn.arrows if len(one.points) > 2]
    for at, start in turned.items():
        if start in straight or several.count(at) > 1:
            yield drawn_ink(Ring(at, DOT, filled=True))


def _station(one: Station, idents: Idents) -> str:
    box = one.box
    x, y, width, height = (
        number(value * STEP) for value in (box.left, box.top, box.right - box.left, box.bottom - box.top)
    )
    return (
        f'<g class="station" id="{idents.of("block", one.name)}" data-kind="{attribute(one.kind)}">'
        f'<rect x="{x}" y="{y}" width="{width}" height="{height}" rx="5"/>'
        f"{''.join(map(drawn_text, one.texts))}</g>"
    )
