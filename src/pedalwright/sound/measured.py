"""What is measured of a circuit by playing test sounds through it: a record of the measures' records."""

from dataclasses import dataclass

from pedalwright.sound.measure.clicks import EchoPattern
from pedalwright.sound.measure.clip_level import ClipLevel
from pedalwright.sound.measure.distortion import Distortion
from pedalwright.sound.measure.level import Level
from pedalwright.sound.measure.repeats_heard import HeardRepeats
from pedalwright.sound.measure.sweep_response import SweepResponse


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measured:
    """All measures of one circuit, knobs at rest, test sounds of `peak_v` at the input jack."""

    peak_v: float
    idle: Level
    distortion: Distortion
    clip_level: ClipLevel | None
    """None where the tone never settles, so that there is nothing to compare"""
    response: SweepResponse
    pattern: EchoPattern | None
    """of circuits with an echo chip"""
    repeats: HeardRepeats | None
