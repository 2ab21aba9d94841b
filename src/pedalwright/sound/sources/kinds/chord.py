"""A strummed chord: up to six plucked strings, one after the other."""

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.sources import options, string_model
from pedalwright.sound.sources.chords import read_chord
from pedalwright.sound.sources.shaping import at_peak, at_rate, faded, frames_of
from pedalwright.sound.sources.source import Option, Settings, Source
from pedalwright.units.values import Quantity

_ATTACK_S, _RELEASE_S = 0.0005, 0.05


def _make(settings: Settings, rate_hz: float) -> FloatArray:
    seconds, rate = settings.number("seconds"), string_model.STRING_RATE_HZ
    sound = np.zeros(frames_of(seconds, rate))
    for number, pitch_hz in enumerate(settings.numbers("notes")):
        begin = round(number * settings.number("strum") * rate)
        if begin < len(sound):
            sound[begin:] += _string(settings, number, pitch_hz, len(sound) - begin)
    sound = at_rate(sound, rate, rate_hz, frames_of(seconds, rate_hz))
    return at_peak(faded(sound, rate_hz, in_s=_ATTACK_S, out_s=_RELEASE_S), settings.number("level"))


def _string(settings: Settings, number: int, pitch_hz: float, frames: int) -> FloatArray:
    """One string; a higher one dies sooner, with the root of its pitch (our choice: it lies between equal
    times and equal numbers of turns).
    """
    lowest_hz = min(settings.numbers("notes"))
    loop = string_model.loop_of(pitch_hz, settings.number("decay") * (lowest_hz / pitch_hz) ** 0.5)
    start = string_model.stroke(
        loop.period,
        seed=int(settings.number("seed")) * string_model.SEEDS_A_STROKE + number,
        pick=settings.number("pick"),
        softness_hz=settings.number("stroke"),
    )
    level = float(np.sqrt(np.mean(start**2)))
    string = string_model.plucked(loop, start / level, frames)
    return faded(string, string_model.STRING_RATE_HZ, in_s=_ATTACK_S, out_s=0.0)


SOURCE = Source(
    name="chord",
    says="up to six plucked strings, strummed from the lowest up",
    options=(
        Option(name="notes", says="a chord's name, or notes joined by +", read=read_chord, usual="Am",
               example="E2+B2+E3", lowest=string_model.LOWEST_HZ, highest=string_model.HIGHEST_HZ, unit="Hz"),
        options.seconds("4s"),
        options.LEVEL,
        Option(name="strum", says="time from one string to the next", read=options.reader(Quantity.TIME),
               usual="20ms", example="50ms", lowest=0.0, highest=2.0, unit="s"),
        options.DECAY,
        options.PICK,
        options.STROKE,
        options.SEED,
    ),
    make=_make,
    source="Karplus and Strong; Jaffe and Smith, Computer Music Journal 7(2), 1983; fingering our own",
)  # fmt: skip
