"""An exponential sweep: equal times for equal intervals."""

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.sources import options
from pedalwright.sound.sources.ranges import band_mistake, read_band
from pedalwright.sound.sources.shaping import faded, frames_of
from pedalwright.sound.sources.source import Option, Settings, Source
from pedalwright.sound.sources.sweeping import sweep_phase

_FADE_IN_S, _FADE_OUT_S = 0.02, 0.005


def _make(settings: Settings, rate_hz: float) -> FloatArray:
    low_hz, high_hz = settings.numbers("band")
    seconds = settings.number("seconds")
    time_s = np.arange(frames_of(seconds, rate_hz)) / rate_hz
    sound = settings.number("level") * np.sin(sweep_phase(time_s, low_hz, high_hz, seconds))
    return faded(sound, rate_hz, in_s=_FADE_IN_S, out_s=_FADE_OUT_S)


SOURCE = Source(
    name="sweep",
    says="a tone that climbs evenly through the octaves",
    options=(
        Option(name="band", says="where it begins and ends", read=read_band, usual="20Hz..20kHz",
               example="50Hz..10kHz", lowest=1.0, highest=100e3, unit="Hz"),
        options.seconds("5s"),
        options.LEVEL,
    ),
    make=_make,
    highest_hz=lambda settings: settings.numbers("band")[1],
    mistake=lambda settings: band_mistake(*settings.numbers("band")),
    source="A. Farina, AES 108th Convention, 2000, preprint 5093 (from memory)",
)  # fmt: skip
