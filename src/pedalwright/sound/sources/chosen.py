"""A built-in sound as it was asked for, ready to be made at any rate."""

from collections.abc import Iterator
from dataclasses import dataclass

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.sources.source import HIGHEST_RATE_HZ, LOWEST_RATE_HZ, TOP_SHARE, Settings, Source
from pedalwright.sound.unusable import unusable
from pedalwright.units.values import print_value

BLOCK_FRAMES = 65536


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ChosenSource:
    """A source with the values of its options. `wish` is what was written."""

    source: Source
    settings: Settings
    wish: str

    @property
    def seconds(self) -> float:
        """How long the sound lasts [s]."""
        return self.settings.number("seconds")

    @property
    def level_v(self) -> float:
        """The largest value of the sound, from zero [V]."""
        return self.settings.number("level")

    def volts(self, rate_hz: float) -> FloatArray:
        """The whole sound (frames,) [V] at a rate [Hz]; the same volts at every call.

        Raises UnusableSound when the rate has no room for the sound's highest frequency, or is no rate of
        sound.
        """
        self._check(rate_hz)
        return self.source.make(self.settings, rate_hz)

    def blocks(self, rate_hz: float, frames: int = BLOCK_FRAMES) -> Iterator[FloatArray]:
        """The sound block by block, each (up to `frames`,) [V]; raises as `volts`."""
        volts = self.volts(rate_hz)
        for begin in range(0, len(volts), frames):
            yield volts[begin : begin + frames]

    def _check(self, rate_hz: float) -> None:
        if not LOWEST_RATE_HZ <= rate_hz <= HIGHEST_RATE_HZ:
            raise unusable(
                "sound.rate",
                f"{rate_hz:g} Hz is no rate a sound is made at.",
                f"It lies between {LOWEST_RATE_HZ:g} and {HIGHEST_RATE_HZ:g} Hz.",
                "Take 48 kHz.",
            )
        highest_hz = self.source.highest_hz(self.settings)
        if highest_hz > TOP_SHARE * rate_hz:
            raise unusable(
                "sound.too-high",
                f"'{self.wish}' reaches {print_value(highest_hz, 'Hz')}.",
                f"At {rate_hz:g} Hz there is room up to {print_value(TOP_SHARE * rate_hz, 'Hz')}.",
                "Ask for less, or for a higher rate.",
            )
