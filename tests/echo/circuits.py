"""The circuits of these tests, in our own notation, and a short way to their loops."""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.part import Part
from pedalwright.echo.chip import time_pin
from pedalwright.echo.cut import CutCircuit, cut
from pedalwright.echo.loop import Loop, gain_from_db, loop_of
from pedalwright.echo.taps import taps
from pedalwright.echo.track import Track, track_of
from pedalwright.notation import read_text

CHIP = """supply V5 5V wall
part U1 echo-chip supply=V5
V5 > C90 100u (electrolytic, 10V) > gnd
U1.2 > C91 47u (electrolytic, 10V) > gnd
U1.7 > C92 100n > gnd
U1.8 > C93 100n > gnd
"""

# Maker's data sheet, Echo Processor IC, V1.6, February 2010, page 2: the ECHO application circuit.
APPLICATION_ECHO = (
    """pedal The maker's echo
input IN 100 1V
output OUT 1M
knob REPEATS 50k linear at 10
knob TIME 20k linear at 5
"""
    + CHIP
    + """IN > C1 4u7 > R1 15k > MIX
IN > R2 100k > gnd
MIX > R3 10k > U1.16
MIX > R4 10k > U1.15
MIX > C2 3n9 > gnd
U1.16 > C3 560p > U1.15
U1.9 > C4 82n > U1.10
U1.11 > C5 82n > U1.12
U1.6 > R5 10k > TIME.1
TIME.2 > TIME.3 > gnd
U1.12 > R6 10k > STEPS
STEPS > R7 10k > U1.13
STEPS > R8 15k > U1.14
STEPS > C6 3n3 > gnd
U1.13 > C7 560p > U1.14
U1.14 > R9 5k6 > WET > C8 10n > gnd
WET > C9 10u > REPEATS.3
REPEATS.1 > gnd
REPEATS.2 > R10 10k > C10 4u7 > MIX
U1.15 > R11 4k7 > C11 10u > OUT
OUT > R12 100k > gnd
"""
)

# The same page: the SURROUND/DELAY application circuit.
APPLICATION_DELAY = (
    """pedal The maker's delay
input IN 100 1V
output OUT 1M
"""
    + CHIP
    + """IN > C1 4u7 > R1 15k > MIX
IN > R2 100k > gnd
MIX > R3 10k > U1.16
MIX > R4 15k > U1.15
MIX > C2 5n6 > gnd
U1.16 > C3 560p > U1.15
U1.9 > C4 100n > U1.10
U1.11 > C5 100n > U1.12
U1.6 > R5 10k > gnd
U1.12 > R6 15k > STEPS
STEPS > R7 10k > U1.13
STEPS > R8 15k > U1.14
STEPS > C6 5n6 > gnd
U1.13 > C7 560p > U1.14
U1.14 > R9 2k7 > WET > C8 10n > gnd
WET > C9 10u > OUT
OUT > R10 100k > gnd
"""
)


@dataclass(frozen=True)
class Bench:
    """A circuit on the bench."""

    text: str
    settings: tuple[tuple[str, float], ...] = ()

    @cached_property
    def analysis(self) -> Analysis:
        return Analysis(read_text(self.text).with_settings(dict(self.settings)), self.text)

    @cached_property
    def chips(self) -> tuple[Part, ...]:
        return self.analysis.view.parts_of("echo-chip")

    @cached_property
    def cut(self) -> CutCircuit:
        analysis = self.analysis
        assert analysis.small is not None
        source, output = analysis.circuit.input, analysis.circuit.output
        return cut(
            analysis.small,
            taps(self.chips, analysis.primitives, analysis.small),
            input_net=source.net if source else "",
            output_net=output.net if output else "",
        )

    @cached_property
    def delays_s(self) -> np.ndarray:
        return np.array([time_pin(chip, self.analysis.rest).delay_s[0] for chip in self.chips])

    def gains(self, level_db: float) -> np.ndarray:
        return np.full(len(self.chips), gain_from_db(level_db))

    def loop(self, level_db: float = -0.5, frequency_hz: np.ndarray | None = None) -> Loop:
        return loop_of(self.cut, self.delays_s, self.gains(level_db), frequency_hz)

    def with_knob(self, name: str) -> tuple[CutCircuit, Track]:
        track = track_of(self.analysis.circuit.by_ref[name])
        return replace(self.cut, halves=track.halves), track


def put_on_bench(text: str, **settings: float) -> Bench:
    return Bench(text, tuple(settings.items()))
