"""A field of levels as SVG: shades of the page's own colour behind a mask, ticks, and marks in time."""

from collections.abc import Iterable
from html import escape

import numpy as np
from numpy.typing import NDArray

from pedalwright.report.axes import even_axis
from pedalwright.report.blocks import Field
from pedalwright.report.plain_text import plain
from pedalwright.report.plot_svg import WIDE as WIDTH
from pedalwright.report.sound_png import data_address, grey_png

HEIGHT = 250
LEFT, RIGHT, TOP, BOTTOM = 54, 12, 18, 38
LETTER_WIDTH = 6.0
"""of the marks' names, near enough to keep them apart"""


def field_svg(field: Field, ident: str) -> str:
    """The field as one `svg` element; `ident` begins its ids and must be unlike that of any other of the
    page.

    An empty string when there is nothing finite to draw.
    """
    if field.seconds <= 0 or not np.isfinite(field.levels_db).any():
        return ""
    title, told = escape(plain(field.title)), escape(plain(described(field)))
    across, up = WIDTH - LEFT - RIGHT, HEIGHT - TOP - BOTTOM
    place = f'x="{LEFT}" y="{TOP}" width="{across}" height="{up}"'
    picture = data_address(grey_png(greys(field)), "image/png")
    return (
        f'<svg class="plot" role="img" viewBox="0 0 {WIDTH} {HEIGHT}" aria-labelledby="{ident}-t {ident}-d">'
        f'<title id="{ident}-t">{title}</title><desc id="{ident}-d">{told}</desc>'
        f'<mask id="{ident}-m"><image {place} preserveAspectRatio="none" href="{picture}"/></mask>'
        f'<rect class="shade" {place} mask="url(#{ident}-m)"/><rect class="sheet" {place}/>'
        f"{''.join(_ticks(field))}{''.join(_marks(field))}</svg>"
    )


def greys(field: Field) -> NDArray[np.uint8]:
    """White where it is loudest, black from `depth_db` below that on; the highest row first."""
    levels = np.where(np.isfinite(field.levels_db), field.levels_db, -np.inf)
    share = 1.0 + (levels - levels.max()) / field.depth_db
    return np.asarray(np.round(255 * np.clip(share, 0.0, 1.0)), dtype=np.uint8)[::-1]


def described(field: Field) -> str:
    """The field in words, for whoever cannot see it."""
    known = np.where(np.isfinite(field.levels_db), field.levels_db, -np.inf)
    row, column = np.unravel_index(int(np.argmax(known)), known.shape)
    share = (float(row) + 0.5) / known.shape[0]
    nearest = min(field.ticks, key=lambda tick: abs(tick[0] - share))[1] if field.ticks else ""
    at = field.seconds * (float(column) + 0.5) / known.shape[1]
    loudest = f"Loudest after {at:.2g} s" + (f", near {nearest} ({field.quantity})" if nearest else "")
    marks = ", ".join(f"{name} at {time:.2g} s" for time, name in field.marks)
    return f"Level as shades over {field.seconds:.3g} s. {loudest}." + (f" Marks: {marks}." if marks else "")


def _x(time_s: float, field: Field) -> float:
    return LEFT + time_s / field.seconds * (WIDTH - LEFT - RIGHT)


def _ticks(field: Field) -> Iterable[str]:
    low, middle = HEIGHT - BOTTOM, (LEFT + WIDTH - RIGHT) / 2
    for share, name in field.ticks:
        y = f"{low - share * (low - TOP):.1f}"
        yield f'<text class="tick" x="{LEFT - 5}" y="{y}" dy=".33em" text-anchor="end">{escape(name)}</text>'
    for tick in even_axis(np.array([0.0, field.seconds])).ticks:
        x = f"{_x(tick, field):.1f}"
        yield f'<path class="grid" d="M{x} {low}v4"/>'
        yield f'<text class="tick" x="{x}" y="{low + 15}" text-anchor="middle">{tick:g}</text>'
    yield f'<text class="name" x="{middle:g}" y="{HEIGHT - 5}" text-anchor="middle">seconds</text>'
    turned = f'transform="translate(11 {(TOP + low) / 2:g}) rotate(-90)" text-anchor="middle"'
    yield f'<text class="name" {turned}>{escape(plain(field.quantity))}</text>'


def _marks(field: Field) -> Iterable[str]:
    """A line at every mark, and its name where it does not run into the one before."""
    free = 0.0
    for time_s, name in field.marks:
        if not 0 <= time_s <= field.seconds:
            continue
        x = _x(time_s, field)
        yield f'<path class="mark" d="M{x:.1f} {TOP}V{HEIGHT - BOTTOM}"/>'
        half = LETTER_WIDTH * len(name) / 2
        if x - half >= free and x + half <= WIDTH:
            place = f'x="{x:.1f}" y="{TOP - 5}" text-anchor="middle"'
            yield f'<text class="tick" {place}>{escape(plain(name))}</text>'
            free = x + half + LETTER_WIDTH
