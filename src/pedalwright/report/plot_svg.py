"""A plot as SVG in a few kilobytes: two axes, shades, lines, ticks; colours come from the page it stands in.

Written by hand rather than by a plotting library: a page has dozens of plots, and this takes well under a
millisecond for each, gives the same bytes every time, and follows the page's dark or light colours.
"""

from collections.abc import Iterable
from html import escape

import numpy as np

from pedalwright.report.axes import (
    Axis,
    even_axis,
    frequency_axis,
    level_axis,
    ratio_axis,
    shares_along,
    short,
    short_hz,
)
from pedalwright.report.blocks import FloatArray, Plot, Shade
from pedalwright.report.plain_text import plain

WIDTH, HEIGHT = 468, 214
WIDE = 720
"""as wide as the page"""
LEFT, RIGHT, TOP, BOTTOM = 54, 12, 10, 38
LONGEST_QUANTITY = 24
"""characters that stand beside the upright axis"""
LINE_HEIGHT, HEAD_ROOM = 15, 12
"""of the lines above a plot that stands by itself"""
FAR = 40.0
"""how far outside the axes, in pixels, a line is followed; what is outside is cut off at the axes"""


def plot_svg(plot: Plot, ident: str, *, head: tuple[str, ...] = ()) -> str:
    """The plot as one `svg` element; `ident` begins its ids and must be unlike that of any other plot of the
    page. `head` are lines above it, for a plot that stands by itself.

    An empty string when there is nothing finite to draw.
    """
    across = even_axis(plot.frequency_hz) if plot.across else frequency_axis(plot.frequency_hz)
    up = value_axis(plot)
    if up is None or across.high <= across.low:
        return ""
    frame = _Frame(plot, across, up)
    title, told = escape(plain(plot.title)), escape(plain(described(plot)))
    above = len(head) * LINE_HEIGHT + HEAD_ROOM if head else 0
    return (
        f'<svg class="plot" role="img" viewBox="0 {-above} {frame.width} {HEIGHT + above}" '
        f'aria-labelledby="{ident}-t {ident}-d">'
        f'<title id="{ident}-t">{title}</title><desc id="{ident}-d">{told}</desc>'
        f'<clipPath id="{ident}-c"><path d="{frame.sheet}"/></clipPath>{"".join(_head(head, above))}'
        f'{"".join(frame.grid())}<g clip-path="url(#{ident}-c)">{"".join(frame.drawn())}</g></svg>'
    )


def value_axis(plot: Plot) -> Axis | None:
    """The axis of the values: around every line and shade; None when nothing is finite."""
    series = [line.values for line in plot.lines]
    series += [edge for shade in plot.shades for edge in (shade.low, shade.high)]
    return ratio_axis(series) if plot.by_ratio else level_axis(series, plot.unit)


def legend(plot: Plot) -> str:
    """Which line is which, in words; empty where there is nothing to tell apart."""
    if not plot.shades and not any(line.dashed for line in plot.lines):
        return ""
    named = (
        ("solid", [line.name for line in plot.lines if not line.dashed]),
        ("dashed", [line.name for line in plot.lines if line.dashed]),
        ("shaded", [shade.name for shade in plot.shades]),
    )
    return "; ".join(f"{word}: {', '.join(names)}" for word, names in named if names)


def described(plot: Plot) -> str:
    """The plot in words, for whoever cannot see it."""
    said = [text for line in plot.lines if (text := _line_described(plot, line.name, line.values))]
    said += [text for shade in plot.shades if (text := _shade_described(plot, shade))]
    over = plot.across or "frequency in Hz"
    return f"{plot.quantity.capitalize()} in {plot.unit} over {over}. " + "; ".join(said) + "."


def _line_described(plot: Plot, name: str, values: FloatArray) -> str:
    known = np.isfinite(values)
    if not known.any():
        return ""
    highest = int(np.argmax(np.where(known, values, -np.inf)))
    first, last, top = (_said(plot, values[i]) for i in (*np.flatnonzero(known)[[0, -1]], highest))
    ends = f"{first} {plot.unit} at the left, {last} at the right"
    return f"{name}: {ends}, highest {top} {plot.unit} near {_place(plot, highest)}"


def _shade_described(plot: Plot, shade: Shade) -> str:
    width = shade.high / shade.low if plot.by_ratio else shade.high - shade.low
    known = np.isfinite(width)
    if not known.any():
        return ""
    widest = int(np.argmax(np.where(known, width, -np.inf)))
    ends = f"{_said(plot, shade.low[widest])} to {_said(plot, shade.high[widest])} {plot.unit}"
    return f"{shade.name}: widest near {_place(plot, widest)}, {ends}"


def _place(plot: Plot, index: int) -> str:
    place = float(f"{plot.frequency_hz[index]:.2g}")
    return f"{place:g}" if plot.across else f"{short_hz(place)} Hz"


def _said(plot: Plot, value: float) -> str:
    return short(value) if plot.by_ratio else f"{value + 0.0:.1f}".replace("-0.0", "0.0")


def _head(lines: tuple[str, ...], above: int) -> Iterable[str]:
    for place, line in enumerate(lines):
        style = "head" if place == 0 else "name"
        y = (place + 1) * LINE_HEIGHT - above
        yield f'<text class="{style}" x="{LEFT}" y="{y}">{escape(plain(line))}</text>'


class _Frame:
    """From frequencies and values to places on the sheet."""

    def __init__(self, plot: Plot, across: Axis, up: Axis) -> None:
        self.plot, self.across, self.up = plot, across, up
        self.width = WIDE if plot.wide else WIDTH
        self.sheet = f"M{LEFT} {TOP}H{self.width - RIGHT}V{HEIGHT - BOTTOM}H{LEFT}z"

    def x(self, places: FloatArray) -> FloatArray:
        share = shares_along(places, self.across, even=bool(self.plot.across))
        return np.asarray(LEFT + share * (self.width - LEFT - RIGHT))

    def y(self, values: FloatArray) -> FloatArray:
        share = shares_along(values, self.up, even=not self.plot.by_ratio)
        return np.clip(HEIGHT - BOTTOM - share * (HEIGHT - BOTTOM - TOP), TOP - FAR, HEIGHT - BOTTOM + FAR)

    def grid(self) -> Iterable[str]:
        low, right = HEIGHT - BOTTOM, self.width - RIGHT
        for tick in self.up.ticks:
            y = f"{float(self.y(np.array(tick))):.1f}"
            zero = " zero" if tick == 0 else ""
            name = short(tick) if self.plot.by_ratio else f"{tick:g}"
            yield f'<path class="grid{zero}" d="M{LEFT} {y}H{right}"/>'
            yield f'<text class="tick" x="{LEFT - 5}" y="{y}" dy=".33em" text-anchor="end">{name}</text>'
        for tick in self.across.ticks:
            x = f"{float(self.x(np.array(tick))):.1f}"
            name = f"{tick:g}" if self.plot.across else short_hz(tick)
            yield f'<path class="grid" d="M{x} {TOP}V{low}"/>'
            yield f'<text class="tick" x="{x}" y="{low + 15}" text-anchor="middle">{name}</text>'
        yield from self._names((LEFT + right) / 2, (TOP + low) / 2)

    def _names(self, centre: float, middle: float) -> Iterable[str]:
        across = escape(plain(self.plot.across or "frequency, Hz"))
        quantity = plain(self.plot.quantity)
        # A long name would run past both ends of the axis; the title beside the plot tells it in full.
        up = escape(f"{quantity}, {self.plot.unit}" if len(quantity) <= LONGEST_QUANTITY else self.plot.unit)
        yield f'<text class="name" x="{centre:g}" y="{HEIGHT - 7}" text-anchor="middle">{across}</text>'
        yield (
            f'<text class="name" transform="translate(11 {middle:g}) rotate(-90)" text-anchor="middle">'
            f"{up}</text>"
        )

    def drawn(self) -> Iterable[str]:
        """The shades, and the lines over them."""
        for shade in self.plot.shades:
            for stretch in stretches(self._known(shade.low) & self._known(shade.high)):
                x = self.x(self.plot.frequency_hz[stretch])
                low, high = self.y(shade.low[stretch]), self.y(shade.high[stretch])
                there_and_back = _path(np.append(x, x[::-1]), np.append(high, low[::-1]))
                yield f'<path class="range" d="{there_and_back}z"/>'
        for place, line in enumerate(self.plot.lines):
            style = "line dashed" if line.dashed else f"line l{place}{' filled' if line.filled else ''}"
            for stretch in stretches(self._known(line.values)):
                x, y = self.x(self.plot.frequency_hz[stretch]), self.y(line.values[stretch])
                yield f'<path class="{style}" d="{_path(x, y)}"/>'

    def _known(self, values: FloatArray) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
        known = np.isfinite(values)
        return known & (values > 0.0) if self.plot.by_ratio else known


def stretches(known: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> list[slice]:
    """The runs of True of at least two points."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], known, [False])).astype(int)))
    return [slice(int(a), int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True) if b - a > 1]


def _path(x: FloatArray, y: FloatArray) -> str:
    return "M" + "L".join(f"{a:.1f} {b:.1f}" for a, b in zip(x.tolist(), y.tolist(), strict=True))
