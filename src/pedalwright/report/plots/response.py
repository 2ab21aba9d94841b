"""Level from jack to jack, with how far builds may be from it."""

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.response_band.bands import banded
from pedalwright.analysis.response_band.records import BandRefused
from pedalwright.analysis.response_table import Asked, response_table
from pedalwright.report.blocks import Plot
from pedalwright.report.plots.kind import CannotPlot, PlotKind
from pedalwright.report.response_document import level_plot

ASKED = Asked(points=91)
"""thirty a decade: enough for a smooth curve"""


def _build(analysis: Analysis) -> tuple[Plot, ...]:
    if analysis.circuit.input is None or analysis.circuit.output is None:
        return ()
    table = response_table(analysis, asked=ASKED)
    if not np.isfinite(table.level_db).any():
        return ()
    try:
        table = banded(table, analysis, asked=ASKED)
    except BandRefused as refusal:
        raise CannotPlot(str(refusal)) from None
    return (level_plot(table),)


PLOT = PlotKind(
    name="response",
    place=1,
    title="Response, jack to jack",
    says=(
        "The level at the output over the level at the input, direct sound only, and between which levels "
        "nine of ten builds lie with parts as far off their values as they may be."
    ),
    build=_build,
)
