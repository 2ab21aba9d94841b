"""How long the repeats take to die away."""

from pedalwright.analysis.memo import Analysis
from pedalwright.report.blocks import Plot
from pedalwright.report.plots._answers import echo_of
from pedalwright.report.plots.kind import PlotKind
from pedalwright.report.repeats_plots import decay


def _build(analysis: Analysis) -> tuple[Plot, ...]:
    echo = echo_of(analysis)
    plot = decay(echo) if echo is not None else None
    return (plot,) if plot is not None else ()


PLOT = PlotKind(
    name="decay",
    place=4,
    title="Decay time",
    says=(
        "How long the repeats take to fall by 60 dB, at every frequency. There is no line where they do not "
        "fall, or take longer than half a minute."
    ),
    build=_build,
)
