"""What every knob does over its turn."""

from dataclasses import replace

from pedalwright.analysis.knob_records import KnobAnswer
from pedalwright.analysis.memo import Analysis
from pedalwright.report.blocks import Plot
from pedalwright.report.knobs_document import knob_plot
from pedalwright.report.plots._answers import knobs_of
from pedalwright.report.plots.kind import CannotPlot, PlotKind


def _build(analysis: Analysis) -> tuple[Plot, ...]:
    answers = knobs_of(analysis)
    found = tuple(_plot(answer) for answer in answers if answer.heard)
    if not found and any(not answer.certified.all() for answer in answers):
        raise CannotPlot(" ".join(answers[0].refusals))
    return found


def _plot(answer: KnobAnswer) -> Plot:
    plot = knob_plot(answer, answer.heard[0])
    first, *others = plot.lines
    named = replace(first, name="track as written") if others else first
    return replace(plot, title=f"{answer.ref}: {plot.title}", lines=(named, *others))


PLOT = PlotKind(
    name="knobs",
    place=6,
    title="Knobs",
    says="What each knob is there for, from 0 to 10, all others as they stand.",
    build=_build,
)
