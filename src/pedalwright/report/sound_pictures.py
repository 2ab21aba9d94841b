"""Pictures of a sound: what went in and came out, its spectrum over time, and the echo map."""

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape

import numpy as np

from pedalwright.report.blocks import Block, Field, Fields, FloatArray, Line, Plot, Plots
from pedalwright.report.page_style import STYLE
from pedalwright.report.plot_svg import HEIGHT as PLOT_HEIGHT
from pedalwright.report.plot_svg import WIDE as WIDTH
from pedalwright.report.plot_svg import plot_svg
from pedalwright.report.sound_field import HEIGHT as FIELD_HEIGHT
from pedalwright.report.sound_field import LEFT, field_svg
from pedalwright.sound.looking import HIGH_HZ, LOW_HZ, OCTAVES_HZ, Looks, Outline

DEPTH_DB = 70.0
NAMED_HZ = ((50, "50"), (100, "100"), (200, "200"), (500, "500"), (1e3, "1k"), (2e3, "2k"), (5e3, "5k"),
            (1e4, "10k"))  # fmt: skip
HEADING, GAP = 18, 16


def outline_plots(looks: Looks) -> tuple[Plot, ...]:
    """The outline of what went in, and of what came out, in volts."""
    named = ((looks.before, "At the input jack"), (looks.after, "At the output jack"))
    return tuple(_outline_plot(one, title) for one, title in named)


def _outline_plot(outline: Outline, title: str) -> Plot:
    """A line that runs from the lowest to the highest volts and back in every column."""
    swings = np.stack([outline.low_v, outline.high_v], axis=1)
    swings[1::2] = swings[1::2, ::-1]
    return Plot(
        title=title,
        unit="V",
        frequency_hz=np.repeat(outline.time_s, 2),
        lines=(Line(name="sound", values=swings.ravel()),),
        quantity="volts",
        across="seconds",
        wide=True,
    )


def sound_fields(looks: Looks, repeats: tuple[tuple[float, str], ...] = ()) -> tuple[Field, ...]:
    """The spectrum over time, and the echo map with the repeats marked: (seconds, name) each."""
    octaves = tuple(((at + 0.5) / len(OCTAVES_HZ), _short(hz)) for at, hz in enumerate(OCTAVES_HZ))
    marked = ", the computed times of the repeats dotted" if repeats else ""
    return (
        Field(
            title=f"Spectrum at the output: darker is louder, {DEPTH_DB:.0f} dB from full shade to none",
            seconds=looks.seconds,
            levels_db=looks.spectrum_db,
            depth_db=DEPTH_DB,
            quantity="frequency, Hz",
            ticks=tuple((_up(hz), name) for hz, name in NAMED_HZ),
        ),
        Field(
            title=f"Echo map: level at the output in every octave{marked}",
            seconds=looks.seconds,
            levels_db=_against_loudest(looks.octaves_db),
            depth_db=DEPTH_DB,
            quantity="octave around, Hz",
            ticks=octaves,
            marks=repeats,
        ),
    )


def picture_blocks(looks: Looks, repeats: tuple[tuple[float, str], ...] = ()) -> tuple[Block, ...]:
    """All pictures as blocks of a page."""
    return Plots(outline_plots(looks)), Fields(sound_fields(looks, repeats))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Panel:
    """One picture of several below each other."""

    title: str
    svg: str
    height: int


def picture_svg(looks: Looks, repeats: tuple[tuple[float, str], ...] = ()) -> str:
    """All pictures below each other in one SVG file that needs nothing else."""
    panels = [panel for panel in _panels(looks, repeats) if panel.svg]
    height = sum(HEADING + panel.height + GAP for panel in panels)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="plot" viewBox="0 0 {WIDTH} {height}" '
        f'width="{WIDTH}" height="{height}" role="img" aria-label="A sound in pictures">\n'
        f'<style>{_plot_style()}</style><rect class="paper" width="100%" height="100%"/>\n'
        f"{''.join(_stacked(panels))}</svg>\n"
    )


def _panels(looks: Looks, repeats: tuple[tuple[float, str], ...]) -> Iterable[_Panel]:
    for at, plot in enumerate(outline_plots(looks)):
        yield _Panel(title=plot.title, svg=plot_svg(plot, f"plot{at}"), height=PLOT_HEIGHT)
    for at, one in enumerate(sound_fields(looks, repeats)):
        yield _Panel(title=one.title, svg=field_svg(one, f"field{at}"), height=FIELD_HEIGHT)


def _stacked(panels: Iterable[_Panel]) -> Iterable[str]:
    top = 0
    for panel in panels:
        yield f'<text class="name" x="{LEFT}" y="{top + 14}">{escape(panel.title)}</text>\n'
        yield f'<svg y="{top + HEADING}" width="{WIDTH}" height="{panel.height}">{panel.svg}</svg>\n'
        top += HEADING + panel.height + GAP


def _plot_style() -> str:
    """The page's colours, and what it says of plots."""
    colours, _, rest = STYLE.partition("*{")
    rules = [line for line in rest.splitlines() if line.startswith(".plot ")]
    return "\n".join([colours.strip(), *rules, ".paper{fill:var(--paper)}"])


def _up(hz: float) -> float:
    return float(np.log(hz / LOW_HZ) / np.log(HIGH_HZ / LOW_HZ))


def _short(hz: float) -> str:
    return f"{hz / 1000:g}k" if hz >= 1000 else f"{hz:.0f}"


def _against_loudest(levels_db: FloatArray) -> FloatArray:
    return levels_db - float(levels_db.max())
