"""A test tone: one sine."""

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.sources import options
from pedalwright.sound.sources.notes import read_pitch
from pedalwright.sound.sources.shaping import faded, frames_of
from pedalwright.sound.sources.source import Option, Settings, Source

_FADE_S = 0.01


def _make(settings: Settings, rate_hz: float) -> FloatArray:
    time_s = np.arange(frames_of(settings.number("seconds"), rate_hz)) / rate_hz
    sound = settings.number("level") * np.sin(2 * np.pi * settings.number("pitch") * time_s)
    return faded(sound, rate_hz, in_s=_FADE_S, out_s=_FADE_S)


SOURCE = Source(
    name="tone",
    says="one sine",
    options=(
        Option(name="pitch", says="its frequency, in Hz or as a note", read=read_pitch, usual="440Hz",
               example="1kHz", lowest=1.0, highest=100e3, unit="Hz"),
        options.seconds("2s"),
        options.LEVEL,
    ),
    make=_make,
    highest_hz=lambda settings: settings.number("pitch"),
    source="a sine with raised-cosine ends; common practice, no source",
)  # fmt: skip
