"""Every repeat as a bar."""

from pedalwright.analysis.memo import Analysis
from pedalwright.report.blocks import Plot
from pedalwright.report.plots._answers import echo_of
from pedalwright.report.plots.kind import PlotKind
from pedalwright.report.repeats_plots import bars


def _build(analysis: Analysis) -> tuple[Plot, ...]:
    echo = echo_of(analysis)
    return (bars(echo),) if echo is not None and echo.repeats else ()


PLOT = PlotKind(
    name="repeats",
    place=3,
    title="Repeats",
    says="A short sound at the input, and what comes out when: the dry sound first, then every repeat.",
    build=_build,
)
