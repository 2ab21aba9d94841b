"""Level of every stage, by its formula and in the whole circuit."""

from collections.abc import Iterator
from dataclasses import replace

from pedalwright.analysis.memo import Analysis
from pedalwright.report.blocks import Plot
from pedalwright.report.plots._answers import walk_of
from pedalwright.report.plots.kind import CannotPlot, PlotKind
from pedalwright.report.walk_document import stage_headings
from pedalwright.report.walk_stage import curve_plot, is_drawable


def _build(analysis: Analysis) -> tuple[Plot, ...]:
    told = walk_of(analysis)
    found = tuple(_plots(analysis))
    if not found and told.refusals:
        raise CannotPlot(" ".join(told.refusals))
    return found


def _plots(analysis: Analysis) -> Iterator[Plot]:
    told = walk_of(analysis)
    headings = stage_headings(told)
    for stage in told.stages:
        for curve in filter(is_drawable, stage.curves):
            plot = curve_plot(curve)
            yield replace(plot, title=f"{headings[stage.name]}: {plot.title}")


PLOT = PlotKind(
    name="stages",
    place=2,
    title="Response, stage by stage",
    says=(
        "Every stage that passes a signal on: its formula by itself, and what it does with everything else "
        "attached. Where the lines part, the formula does not hold or the next stage loads this one."
    ),
    build=_build,
)
