"""A burst of noise: all frequencies of a band alike, at random."""

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.sources import options
from pedalwright.sound.sources.ranges import band_mistake, read_band
from pedalwright.sound.sources.shaping import at_peak, faded, frames_of
from pedalwright.sound.sources.source import TOP_SHARE, Option, Settings, Source

_FADE_S = 0.005


def _make(settings: Settings, rate_hz: float) -> FloatArray:
    """A sum of sines one burst apart, of random size and phase (Rice's way): the same burst at every rate."""
    low_hz, high_hz = settings.numbers("band")
    seconds = settings.number("seconds")
    frames = frames_of(seconds, rate_hz)
    first, last = int(np.ceil(low_hz * seconds)), int(high_hz * seconds)
    throws = np.random.default_rng(int(settings.number("seed"))).standard_normal((last - first + 1, 2))
    spectrum = np.zeros(frames // 2 + 1, dtype=np.complex128)
    kept = min(last, int(TOP_SHARE * frames)) - first + 1
    spectrum[first : first + kept] = throws[:kept, 0] + 1j * throws[:kept, 1]
    sound = np.fft.irfft(spectrum, frames)
    return at_peak(faded(sound, rate_hz, in_s=_FADE_S, out_s=_FADE_S), settings.number("level"))


def _mistake(settings: Settings) -> str:
    low_hz, high_hz = settings.numbers("band")
    if int(high_hz * settings.number("seconds")) < np.ceil(low_hz * settings.number("seconds")):
        return "The band is narrower than a burst of this length can show; make either larger."
    return band_mistake(low_hz, high_hz)


SOURCE = Source(
    name="noise",
    says="a burst of noise, even over its band",
    options=(
        Option(name="band", says="lowest and highest frequency", read=read_band, usual="20Hz..20kHz",
               example="100Hz..5kHz", lowest=1.0, highest=100e3, unit="Hz"),
        options.seconds("0.5s"),
        options.LEVEL,
        options.SEED,
    ),
    make=_make,
    highest_hz=lambda settings: settings.numbers("band")[1],
    mistake=_mistake,
    source="S. O. Rice, Bell System Technical Journal 23, 1944 (from memory)",
)  # fmt: skip
