"""How far a slow oscillator swings the delay of an echo chip, for a part of the network at its time pin."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from pedalwright.analysis.measures import Measure
from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.part import Part
from pedalwright.solve.band import Band
from pedalwright.solve.changed_table import ChangedTable
from pedalwright.solve.gains import exciting_column
from pedalwright.solve.rest import OperatingPoint, OperatingPoints
from pedalwright.stages.stage import Stage

NETWORK = "delay-time-network"


@dataclass(frozen=True, eq=False)
class DelaySwing:
    """One chip whose time pin is moved by a triangle of known height; `band` is the circuit at its rate."""

    band: Band
    chip: Part
    net: str
    peak_v: float

    def measure(
        self, rests: OperatingPoint | OperatingPoints, place: int, changes: Mapping[str, float]
    ) -> Measure:
        """Half the way from the shortest to the longest delay in seconds; nan where the clock would stop.

        The triangle is followed by its fundamental, and taken as slow against the delay.
        """
        from pedalwright.echo.chip import reading, time_pin
        from pedalwright.echo.figures import value

        seen = time_pin(self.chip, rests)
        volts, amperes = float(seen.volts[place]), float(seen.amperes[place])
        column = exciting_column(self.band, self.net)
        table = ChangedTable(self.band, changes)
        pin, start = np.abs(
            table.at([self.band.row(self.chip.net("6")), self.band.row(self.net)], [column])[0, :, 0]
        )
        moves = np.array([-1.0, 1.0]) * self.peak_v * pin / start
        ends = reading(volts + moves, amperes - moves / value("time_pin_ohms")).delay_s
        return Measure(
            subject="the delay's swing to either side",
            where="",
            sort="time",
            value=float(abs(ends[1] - ends[0]) / 2),
        )


def delay_swing(analysis: Analysis, stage: Stage) -> DelaySwing | None:
    """What moves this delay-time network; None where nothing of known height does."""
    if stage.kind != NETWORK or not stage.inputs or analysis.small is None:
        return None
    chips = [
        chip
        for chip in analysis.view.parts_of("echo-chip")
        if analysis.view.joined[chip.net("6")] == analysis.view.joined[stage.output]
    ]
    if not chips:
        return None
    # Imported here: only a delay that is moved needs it, and every start would pay for it.
    from pedalwright.analysis.knob_swing import triangle_of_circuit

    swing = triangle_of_circuit(analysis)
    if swing is None:
        return None
    band = Band(analysis.small, np.array([swing.rate_hz]))
    return DelaySwing(band=band, chip=chips[0], net=swing.net, peak_v=swing.peak_v) if band.ok else None
