"""The noise at the output over frequency."""

from pedalwright.analysis.memo import Analysis
from pedalwright.report.blocks import Plot
from pedalwright.report.noise_document import spectrum_plot
from pedalwright.report.plots._answers import noise_of
from pedalwright.report.plots.kind import PlotKind


def _build(analysis: Analysis) -> tuple[Plot, ...]:
    noise = noise_of(analysis)
    return (spectrum_plot(noise),) if noise is not None and len(noise.density_v_per_rthz) else ()


PLOT = PlotKind(
    name="noise",
    place=7,
    title="Noise",
    says="The noise at the output with nothing played: how many volts in one hertz of bandwidth.",
    build=_build,
)
