"""What the guitar sees, and what the next pedal sees."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.response_table import Asked, impedance_table
from pedalwright.report.blocks import Plot
from pedalwright.report.plots.kind import PlotKind
from pedalwright.report.response_document import impedance_plot

ASKED = Asked(points=91)


def _build(analysis: Analysis) -> tuple[Plot, ...]:
    return tuple(plot for plot in _plots(analysis) if np.any(plot.lines[0].values > 0))


def _plots(analysis: Analysis) -> Iterator[Plot]:
    source, output = analysis.circuit.input, analysis.circuit.output
    for words, jack in (("Into the input", source), ("Out of the output", output)):
        if jack is not None and jack.net in analysis.system.rows:
            table = impedance_table(analysis, jack.net, ASKED)
            taken = f", {table.lifted} taken out" if table.lifted else ""
            yield replace(impedance_plot(table), title=f"{words} at {table.net}{taken}")


PLOT = PlotKind(
    name="impedances",
    place=8,
    title="Impedances at the jacks",
    says=(
        "What the guitar sees, and what stands behind the output. A guitar wants 500 kΩ or more to keep its "
        "treble (common practice, no source)."
    ),
    build=_build,
)
