"""What one part's change is measured by: its own stage, the output jack, the nets it holds, the resting
voltages.
"""

from collections.abc import Iterable, Sequence
from math import log10

import numpy as np

from pedalwright.analysis.levels import REFERENCE_HZ, SILENT
from pedalwright.analysis.measures import Measure
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.unheard import is_unheard
from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.part import Part
from pedalwright.devices.kinds.capacitor import dielectric, is_polarised
from pedalwright.devices.ports import INPUT
from pedalwright.solve.band import Band, ComplexArray, FloatArray
from pedalwright.solve.changed_table import ChangedTable
from pedalwright.solve.corners import find_corners
from pedalwright.solve.gains import exciting_column, gains_from
from pedalwright.solve.grid import decibels
from pedalwright.solve.rest import OperatingPoints
from pedalwright.stages.stage import Stage

LISTENING_HZ = {"at the lowest string": 82.4, "at 1 kHz": 1000.0, "at 5 kHz": 5000.0}
"""where levels are compared: the lowest string, the middle, the top of a guitar's range"""
RIPPLE_HZ = {"at 100 Hz": 100.0}
"""where rails are asked how still they stand: full-wave ripple of 50 Hz mains"""
CLOCK_HZ = {"at 100 kHz": 100e3}
"""the same for clock residue; the models know no series resistance, which alone decides there what an
electrolytic does
"""
FAST = ("film", "ceramic")
LARGEST_FAST_F = 1e-6
"""an unmarked capacitor below this is taken for film or ceramic (common practice, no source)"""


def measures(
    analysis: Analysis, band: Band, part: Part, stage: Stage | None, table: ChangedTable | None
) -> tuple[Measure, ...]:
    """Every figure a change of one part is judged by; `table` is the changed circuit, or None for the
    circuit as it is.
    """
    return (
        *_stage(band, None if is_unheard(analysis, stage) else stage, table),
        *_jack_to_jack(analysis, band, table),
        *_wet(analysis, band, table),
        *_steady(analysis, band, part, table),
        *_input_impedance(analysis, band, table),
    )


def _entries(
    band: Band, table: ChangedTable | None, rows: Sequence[int], columns: Sequence[int]
) -> ComplexArray:
    if table is None:
        return band.table[:, list(rows)][:, :, list(columns)]
    return table.at(list(rows), list(columns))


def _stage(band: Band, stage: Stage | None, table: ChangedTable | None) -> Iterable[Measure]:
    """Gain and corners of the part's own stage, from each of its inputs."""
    if stage is None or not stage.inputs or not stage.output or not band.knows(*stage.inputs, stage.output):
        return
    rows = [band.row(net) for net in stage.inputs]
    columns = [exciting_column(band, net) for net in stage.inputs]
    out = band.row(stage.output)
    gains = gains_from(_entries(band, table, rows, columns), _entries(band, table, [out], columns)[:, 0])
    for net, gain in zip(stage.inputs, gains, strict=True):
        tail = f" from {spoken(net)}" if len(stage.inputs) > 1 else ""
        yield from _curve(band.frequency_hz, gain, tail)


def _curve(frequency_hz: FloatArray, gain: ComplexArray, tail: str) -> Iterable[Measure]:
    corners = find_corners(frequency_hz, gain, REFERENCE_HZ)
    if corners is None:
        return
    level_db = decibels(gain)
    for words, hz in LISTENING_HZ.items():
        value = at_hz(frequency_hz, level_db, hz)
        yield Measure(subject=f"the stage's gain{tail}", where=words, sort="level", value=value)
    if corners.low_hz:
        yield Measure(subject=f"the stage's bass corner{tail}", where="", sort="corner", value=corners.low_hz)
    if corners.high_hz:
        yield Measure(
            subject=f"the stage's treble corner{tail}", where="", sort="corner", value=corners.high_hz
        )
    for order, dip in zip(("", "second "), corners.dips, strict=False):
        subject = f"the stage's {order}dip{tail}"
        yield Measure(subject=subject, where="", sort="corner", value=dip.frequency_hz)


def _jack_to_jack(analysis: Analysis, band: Band, table: ChangedTable | None) -> Iterable[Measure]:
    """Level at the output jack against that at the input jack, as in the figures at a glance."""
    if analysis.circuit.input is not None:
        column = band.small.system.branches[INPUT]
        jack = np.abs(_entries(band, table, [band.row(analysis.circuit.input.net)], [column])[:, 0, 0])
        if np.all(jack > 0):
            yield from _at_output(analysis, band, table, column, "the output", 1.0 / jack)


def _wet(analysis: Analysis, band: Band, table: ChangedTable | None) -> Iterable[Measure]:
    """Level at the output jack for what each echo chip's decoder puts out."""
    chips = [chip for chip in analysis.view.parts_of("echo-chip") if band.knows(chip.net("12"))]
    for chip in chips:
        column = exciting_column(band, chip.net("12"))
        name = "the delayed sound" if len(chips) == 1 else f"the delayed sound of {chip.ref}"
        scale = np.abs(_entries(band, table, [band.row(chip.net("12"))], [column])[:, 0, 0])
        if np.all(scale > 0):
            yield from _at_output(analysis, band, table, column, name, 1.0 / scale)


def _at_output(
    analysis: Analysis,
    band: Band,
    table: ChangedTable | None,
    column: int,
    name: str,
    scale: FloatArray | float = 1.0,
) -> Iterable[Measure]:
    output = analysis.circuit.output
    if output is None:
        return
    level = np.abs(_entries(band, table, [band.row(output.net)], [column])[:, 0, 0]) * scale
    if np.min(level) <= SILENT * 1e-6:
        return
    for words, hz in LISTENING_HZ.items():
        value = at_hz(band.frequency_hz, 20 * np.log10(level), hz)
        if value > 20 * log10(SILENT):
            yield Measure(subject=name, where=words, sort="level", value=value)


def _steady(analysis: Analysis, band: Band, part: Part, table: ChangedTable | None) -> Iterable[Measure]:
    """How firmly the rails and bias nets on the part are held."""
    for net in dict.fromkeys(part.nets):
        joined = analysis.view.joined[net]
        if joined == GROUND or not analysis.bench.classes.is_still(joined):
            continue
        row = band.row(net)
        ohms = np.abs(_entries(band, table, [row], [row])[:, 0, 0])
        for words, hz in (RIPPLE_HZ | CLOCK_HZ if _is_fast(part) else RIPPLE_HZ).items():
            value = float(np.exp(at_hz(band.frequency_hz, np.log(ohms + 1e-300), hz)))
            if value > 1e-3:
                yield Measure(
                    subject=f"the impedance of {spoken(net)}", where=words, sort="ohms", value=value
                )


def _is_fast(part: Part) -> bool:
    """A capacitor whose series resistance may be left out at 100 kHz."""
    if part.kind != "capacitor" or is_polarised(part):
        return False
    return dielectric(part) in FAST or (part.value or 0.0) < LARGEST_FAST_F


def _input_impedance(analysis: Analysis, band: Band, table: ChangedTable | None) -> Iterable[Measure]:
    """What the source and the pedal together are at the input jack, at the reference frequency."""
    source = analysis.circuit.input
    if source is None:
        return
    row = band.row(source.net)
    ohms = np.abs(_entries(band, table, [row], [row])[:, 0, 0])
    place = int(np.argmin(np.abs(band.frequency_hz - REFERENCE_HZ)))
    yield Measure(subject="the impedance at the input jack", where="", sort="ohms", value=float(ohms[place]))


def rest_measures(
    analysis: Analysis,
    part: Part,
    stage: Stage | None,
    rests: OperatingPoints | None,
    place: int,
    value: float | None,
) -> tuple[Measure, ...]:
    """Resting voltages on the part and at its stage's output, and the current through a resistor between
    steady nets.
    """

    def volts(net: str) -> float:
        return analysis.rest.volts(net) if rests is None else float(rests.volts(net)[place])

    outputs = (stage.output,) if stage is not None and stage.output else ()
    nets = [net for net in dict.fromkeys([*part.nets, *outputs]) if net != GROUND]
    found = [Measure(subject=spoken(net), where="", sort="rest", value=volts(net)) for net in nets]
    if part.kind == "resistor" and value:
        current = abs(volts(part.nets[0]) - volts(part.nets[1])) / value
        if current > WORTH_A:
            found.append(
                Measure(subject=f"the current through {part.ref}", where="", sort="current", value=current)
            )
    return tuple(found)


WORTH_A = 1e-4
"""smaller resting currents are not worth a sentence of their own"""


def at_hz(frequency_hz: FloatArray, curve: FloatArray, hz: float) -> float:
    """A curve's value at one frequency, straight between its points on a logarithmic axis."""
    return float(np.interp(np.log(hz), np.log(frequency_hz), curve))
