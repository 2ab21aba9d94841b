"""A pedal that is a wire, and the files it is heard through."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import soundfile

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.through import RATE_HZ

from .stand_ins import StandIn

WIRE = """pedal Wire
input IN pickup
output OUT 1M
knob VOL 10k linear at 3
switch MODE short long at long
IN > VOL.3
VOL.2 > OUT
VOL.1 > gnd
OUT > MODE.common
MODE.long > R1 1M > gnd
"""


def through_function(function: Callable[[FloatArray], FloatArray]) -> Callable[..., StandIn]:
    return lambda circuit, movements, wish: StandIn(function)


def samples(path: Path) -> FloatArray:
    found, rate_hz = soundfile.read(path, always_2d=True)
    assert rate_hz == RATE_HZ
    return np.asarray(found)


def sine(path: Path, peak: float, channels: int = 1, seconds: float = 1.0, rate_hz: int = 48000) -> Path:
    time_s = np.arange(round(seconds * rate_hz)) / rate_hz
    wave = peak * np.sin(2 * np.pi * 1000 * time_s)
    soundfile.write(path, np.stack([wave * (0.5**at) for at in range(channels)], axis=1), rate_hz)
    return path
