"""The delay over the turn of the time knob, and a dial with milliseconds at its marks."""

from pedalwright.analysis.echo_records import TimeKnob
from pedalwright.analysis.memo import Analysis
from pedalwright.report.blocks import Picture, Plot
from pedalwright.report.plots._answers import echo_of
from pedalwright.report.plots._dial import dial_picture
from pedalwright.report.plots.kind import PlotKind
from pedalwright.report.repeats_plots import time_plot


def _knobs(analysis: Analysis) -> tuple[TimeKnob, ...]:
    echo = echo_of(analysis)
    return echo.time_knobs if echo is not None else ()


def _build(analysis: Analysis) -> tuple[Plot, ...]:
    return tuple(time_plot(knob) for knob in _knobs(analysis))


def _pictures(analysis: Analysis) -> tuple[Picture, ...]:
    return tuple(map(dial_picture, _knobs(analysis)))


PLOT = PlotKind(
    name="delay-dial",
    place=5,
    title="Delay dial",
    says=(
        "The delay from 0 to 10. Chips differ, and so do tracks: between the least and the most expected "
        "lies what a builder will measure."
    ),
    build=_build,
    pictures=_pictures,
)
