"""A dial seen from the front: 0 to 10 around a knob, with milliseconds beside its marks."""

from collections.abc import Iterable
from html import escape
from math import cos, isfinite, radians, sin

import numpy as np

from pedalwright.analysis.echo_records import TimeKnob
from pedalwright.report.blocks import Picture
from pedalwright.report.plain_text import plain

WIDTH, HEIGHT = 320, 300
CENTRE_X, CENTRE_Y = 160, 152
KNOB, MARK, NUMBER, TOLD = 58, 78, 68, 96
"""radii in pixels: the knob, the ends of the marks, the numbers, and what is told beside them"""
SWEEP_DEG = 300.0
"""of a usual potentiometer (common practice, no source); 0 is at seven o'clock, 10 at five"""
STYLE = (
    ".dial .body,.dial .mark{fill:none;stroke:currentColor}"
    ".dial .body{stroke-width:1.6}.dial .pointer{stroke:currentColor;stroke-width:3;stroke-linecap:round}"
    ".dial text{fill:currentColor;font-family:DejaVu Sans,system-ui,sans-serif;font-size:12px}"
    ".dial .number{font-size:10px;opacity:.75}"
    ".dial .name{font-weight:bold}"
)


def dial_picture(knob: TimeKnob) -> Picture:
    """The dial of a time knob as it stands."""
    marks = tuple((turn, float(np.interp(turn, knob.positions, knob.delay_s * 1e3))) for turn in range(11))
    told = ", ".join(f"{turn}: {_milliseconds(delay)}" for turn, delay in marks)
    described = f"Dial of {plain(knob.knob)}, delay of {plain(knob.chip)} in milliseconds. {told}."
    inner = "".join((_body(knob), *(piece for mark in marks for piece in _mark(*mark))))
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="dial" role="img" '
        f'viewBox="0 0 {WIDTH} {HEIGHT}" width="{WIDTH}" height="{HEIGHT}">'
        f"<title>{escape(plain(knob.knob))}</title><desc>{escape(described)}</desc>"
        f"<style>{STYLE}</style>{inner}</svg>"
    )
    return Picture(
        svg=svg, described=described, caption=f"{knob.knob}: milliseconds of {knob.chip} at the marks"
    )


def _body(knob: TimeKnob) -> str:
    (x1, y1), (x2, y2) = _at(knob.now, KNOB * 0.35), _at(knob.now, KNOB * 0.92)
    name = escape(plain(knob.knob))[:40]
    return (
        f'<circle class="body" cx="{CENTRE_X}" cy="{CENTRE_Y}" r="{KNOB}"/>'
        f'<path class="pointer" d="M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}"/>'
        f'<text class="name" x="{CENTRE_X}" y="{HEIGHT - 22}" text-anchor="middle">{name}</text>'
        f'<text class="number" x="{CENTRE_X}" y="{HEIGHT - 7}" text-anchor="middle">milliseconds</text>'
    )


def _mark(turn: int, delay_ms: float) -> Iterable[str]:
    (x1, y1), (x2, y2) = _at(turn, KNOB + 4), _at(turn, MARK - 8)
    yield f'<path class="mark" d="M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}"/>'
    yield _word("number", turn, NUMBER + 14, str(turn))
    yield _word("told", turn, TOLD + 10, _milliseconds(delay_ms))


def _word(style: str, turn: float, radius: float, word: str) -> str:
    x, y = _at(turn, radius)
    side = x - CENTRE_X
    anchor = "middle" if abs(side) < 0.25 * radius else "start" if side > 0 else "end"
    anchor = "middle" if style == "number" else anchor
    return f'<text class="{style}" x="{x:.1f}" y="{y:.1f}" dy=".35em" text-anchor="{anchor}">{word}</text>'


def _milliseconds(delay_ms: float) -> str:
    """Three digits, and a dash where the clock stands still."""
    return f"{float(f'{delay_ms:.3g}'):g}" if isfinite(delay_ms) else "-"


def _at(turn: float, radius: float) -> tuple[float, float]:
    angle = radians(-SWEEP_DEG / 2 + SWEEP_DEG * turn / 10.0)
    return CENTRE_X + radius * sin(angle), CENTRE_Y - radius * cos(angle)
