"""The figures of the signal map: of every stage its gain and its band, of every arrow its level."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from math import isfinite

from pedalwright.analysis.curves import StageCurve, stage_curves
from pedalwright.analysis.levels import REFERENCE_HZ, Clipper, clippers, level_at
from pedalwright.analysis.measured import at_hz
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.records import Level
from pedalwright.analysis.unheard import is_unheard
from pedalwright.echo.chip import time_pin
from pedalwright.echo.delay_law import within_table
from pedalwright.report.figures import decibels
from pedalwright.solve.band import Band, band_hz
from pedalwright.solve.corners import find_corners
from pedalwright.solve.grid import decibels as levels_db
from pedalwright.stages.recognise import kind_of
from pedalwright.stages.stage import Stage
from pedalwright.units.value_writing import print_value

FAINTEST_DB = -120.0
"""below this a gain is the rounding of the computation"""


@dataclass(frozen=True)
class Figures:
    """What can be written on the map; nothing for a circuit whose rest point is not certified."""

    analysis: Analysis

    @cached_property
    def band(self) -> Band | None:
        """The circuit at the frequencies of the band, when its answers are certified."""
        small = self.analysis.small
        band = Band(small, band_hz()) if small is not None else None
        return band if band is not None and band.ok else None

    @cached_property
    def _clipped(self) -> tuple[Clipper, ...]:
        return clippers(self.analysis, self.band) if self.band is not None else ()

    @cached_property
    def _levels(self) -> Mapping[str, str]:
        nets = {stage.output for stage in self.analysis.stages.stages if stage.output}
        if self.analysis.circuit.input is not None:
            nets.add(self.analysis.view.input_net)
        band = self.band
        if band is None:
            return {}
        known = {
            net: level_at(self.analysis, band, net, self._clipped) for net in sorted(nets) if band.knows(net)
        }
        return {net: text for net, one in known.items() if (text := _level(one))}

    def level(self, net: str) -> str:
        """The peak level at a net at the reference frequency, as text; empty when none is known."""
        return self._levels.get(net, "")

    def lines(self, stage: Stage) -> tuple[str, ...]:
        """Gain and band of a stage, a line each; of a stage with several inputs a line of gain for each."""
        band = self.band
        if band is None:
            return ()
        if stage.kind == "echo-chip":
            return self._delay(stage)
        if is_unheard(self.analysis, stage):
            return ()
        transfer = kind_of(stage).transfer(stage, self.analysis.bench)
        curves = [curve for curve in stage_curves(stage, transfer, band) if curve.full is not None]
        if len(curves) == 1:
            return tuple(filter(None, (_gain(curves[0], band), _band(curves[0], band))))
        return tuple(f"{spoken(curve.input)}: {_gain(curve, band)}" for curve in curves)

    def _delay(self, stage: Stage) -> tuple[str, ...]:
        """The delay of a typical chip as the knobs stand, where the table of its delays reaches."""
        chips = [role.ref for role in stage.roles if role.ref in self.analysis.circuit.by_ref]
        found = []
        for part in (self.analysis.circuit.by_ref[ref] for ref in chips):
            if part.kind == "echo-chip" and self.analysis.rest.certificate.ok:
                seen = time_pin(part, self.analysis.rest)
                if isfinite(seen.delay_s[0]) and within_table(seen.ohms)[0]:
                    found.append(f"delay {print_value(float(seen.delay_s[0]), 's')}")
        return tuple(found)


def _level(one: Level) -> str:
    """The peak; where the stage cannot put out so much, what it is clipped at."""
    if not one.level_v or one.level_v <= 0:
        return ""
    if one.limit_v is not None and 0 < one.limit_v < one.level_v:
        return f"clips at {print_value(one.limit_v, 'V', figures=2)}"
    return print_value(one.level_v, "V", figures=2)


def _gain(curve: StageCurve, band: Band) -> str:
    assert curve.full is not None
    gain_db = at_hz(band.frequency_hz, levels_db(curve.full), REFERENCE_HZ)
    return decibels(gain_db) if gain_db > FAINTEST_DB else "no signal"


def _band(curve: StageCurve, band: Band) -> str:
    assert curve.full is not None
    corners = find_corners(band.frequency_hz, curve.full, REFERENCE_HZ)
    if corners is None:
        return ""
    low, high = (
        print_value(side, "Hz", figures=2) if side is not None else ""
        for side in (corners.low_hz, corners.high_hz)
    )
    if low and high:
        return f"{low} to {high}"
    return f"above {low}" if low else f"below {high}" if high else "whole band"


def _hz(side: float | None) -> str:
    return "" if side is None else print_value(side, "Hz", figures=2)
