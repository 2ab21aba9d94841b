"""A plucked string."""

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.sources import options, string_model
from pedalwright.sound.sources.notes import read_pitch
from pedalwright.sound.sources.shaping import at_peak, at_rate, faded, frames_of
from pedalwright.sound.sources.source import Option, Settings, Source

_ATTACK_S, _RELEASE_S = 0.0005, 0.05


def _make(settings: Settings, rate_hz: float) -> FloatArray:
    seconds, rate = settings.number("seconds"), string_model.STRING_RATE_HZ
    loop = string_model.loop_of(settings.number("note"), settings.number("decay"))
    start = string_model.stroke(
        loop.period,
        seed=int(settings.number("seed")),
        pick=settings.number("pick"),
        softness_hz=settings.number("stroke"),
    )
    sound = string_model.plucked(loop, start, frames_of(seconds, rate))
    sound = at_rate(sound, rate, rate_hz, frames_of(seconds, rate_hz))
    return at_peak(faded(sound, rate_hz, in_s=_ATTACK_S, out_s=_RELEASE_S), settings.number("level"))


SOURCE = Source(
    name="pluck",
    says="one plucked string",
    options=(
        Option(name="note", says="its pitch, as a note or in Hz", read=read_pitch, usual="E2", example="A2",
               lowest=string_model.LOWEST_HZ, highest=string_model.HIGHEST_HZ, unit="Hz"),
        options.seconds("3s"),
        options.LEVEL,
        options.DECAY,
        options.PICK,
        options.STROKE,
        options.SEED,
    ),
    make=_make,
    source="Karplus and Strong; Jaffe and Smith, Computer Music Journal 7(2), 1983",
)  # fmt: skip
