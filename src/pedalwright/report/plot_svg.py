"""A plot as SVG in a few kilobytes: two axes, lines, ticks; colours come from the page it stands in.

Written by hand rather than by a plotting library: a page has dozens of plots, and this takes well under a
millisecond for each, gives the same bytes every time, and follows the page's dark or light colours.
"""

from collections.abc import Iterable
from html import escape

import numpy as np

from pedalwright.report.axes import Axis, even_axis, frequency_axis, level_axis, shares_along, short_hz
from pedalwright.report.blocks import FloatArray, Plot
from pedalwright.report.plain_text import plain

WIDTH, HEIGHT = 468, 214
WIDE = 720
"""as wide as the page"""
LEFT, RIGHT, TOP, BOTTOM = 54, 12, 10, 38


def plot_svg(plot: Plot, ident: str) -> str:
    """The plot as one `svg` element; `ident` begins its ids and must be unlike that of any other plot of the
    page.

    An empty string when there is nothing finite to draw.
    """
    across = even_axis(plot.frequency_hz) if plot.across else frequency_axis(plot.frequency_hz)
    up = level_axis([line.values for line in plot.lines], plot.unit)
    if up is None or across.high <= across.low:
        return ""
    frame = _Frame(across, up, even=bool(plot.across), width=WIDE if plot.wide else WIDTH)
    title, told = escape(plain(plot.title)), escape(plain(described(plot)))
    return (
        f'<svg class="plot" role="img" viewBox="0 0 {frame.width} {HEIGHT}" '
        f'aria-labelledby="{ident}-t {ident}-d">'
        f'<title id="{ident}-t">{title}</title><desc id="{ident}-d">{told}</desc>'
        f'<clipPath id="{ident}-c"><path d="{frame.sheet}"/></clipPath>'
        f'{"".join(frame.grid(plot))}<g clip-path="url(#{ident}-c)">{"".join(frame.lines(plot))}</g></svg>'
    )


def described(plot: Plot) -> str:
    """The plot in words, for whoever cannot see it."""
    said = []
    for line in plot.lines:
        known = np.isfinite(line.values)
        if known.any():
            highest = int(np.argmax(np.where(known, line.values, -np.inf)))
            place = float(f"{plot.frequency_hz[highest]:.2g}")
            at = f"{place:g}" if plot.across else f"{short_hz(place)} Hz"
            first, last, top = (_rounded(line.values[i]) for i in (*np.flatnonzero(known)[[0, -1]], highest))
            ends = f"{first} {plot.unit} at the left, {last} at the right"
            said.append(f"{line.name}: {ends}, highest {top} {plot.unit} near {at}")
    over = plot.across or "frequency in Hz"
    return f"{plot.quantity.capitalize()} in {plot.unit} over {over}. " + "; ".join(said) + "."


def _rounded(value: float) -> str:
    return f"{value + 0.0:.1f}".replace("-0.0", "0.0")


class _Frame:
    """From frequencies and values to places on the sheet."""

    def __init__(self, across: Axis, up: Axis, *, even: bool, width: int) -> None:
        self.across, self.up, self.even, self.width = across, up, even, width
        self.sheet = f"M{LEFT} {TOP}H{width - RIGHT}V{HEIGHT - BOTTOM}H{LEFT}z"

    def x(self, frequency_hz: FloatArray) -> FloatArray:
        share = shares_along(frequency_hz, self.across, even=self.even)
        return np.asarray(LEFT + share * (self.width - LEFT - RIGHT))

    def y(self, values: FloatArray) -> FloatArray:
        share = (values - self.up.low) / (self.up.high - self.up.low)
        return np.asarray(HEIGHT - BOTTOM - share * (HEIGHT - BOTTOM - TOP))

    def name(self, tick: float) -> str:
        """What stands under a tick of the axis across."""
        return f"{tick:g}" if self.even else short_hz(tick)

    def grid(self, plot: Plot) -> Iterable[str]:
        low, right = HEIGHT - BOTTOM, self.width - RIGHT
        for tick in self.up.ticks:
            y = f"{float(self.y(np.array(tick))):.1f}"
            zero = " zero" if tick == 0 else ""
            yield f'<path class="grid{zero}" d="M{LEFT} {y}H{right}"/>'
            yield f'<text class="tick" x="{LEFT - 5}" y="{y}" dy=".33em" text-anchor="end">{tick:g}</text>'
        for tick in self.across.ticks:
            x = f"{float(self.x(np.array(tick))):.1f}"
            yield f'<path class="grid" d="M{x} {TOP}V{low}"/>'
            yield f'<text class="tick" x="{x}" y="{low + 13}" text-anchor="middle">{self.name(tick)}</text>'
        unit = escape(plot.unit)
        centre, middle = (LEFT + right) / 2, (TOP + low) / 2
        place = f'x="{centre:g}" y="{HEIGHT - 7}" text-anchor="middle"'
        yield f'<text class="name" {place}>{escape(plain(plot.across or "frequency, Hz"))}</text>'
        yield (
            f'<text class="name" transform="translate(11 {middle:g}) rotate(-90)" text-anchor="middle">'
            f"{escape(plot.quantity)}, {unit}</text>"
        )

    def lines(self, plot: Plot) -> Iterable[str]:
        for place, line in enumerate(plot.lines):
            style = "line dashed" if line.dashed else f"line l{place}"
            for stretch in stretches(np.isfinite(line.values)):
                x, y = self.x(plot.frequency_hz[stretch]), self.y(line.values[stretch])
                yield f'<path class="{style}" d="{_path(x, y)}"/>'


def stretches(known: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> list[slice]:
    """The runs of True of at least two points."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], known, [False])).astype(int)))
    return [slice(int(a), int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True) if b - a > 1]


def _path(x: FloatArray, y: FloatArray) -> str:
    return "M" + "L".join(f"{a:.1f} {b:.1f}" for a, b in zip(x.tolist(), y.tolist(), strict=True))
