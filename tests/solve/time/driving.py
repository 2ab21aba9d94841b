"""Waveforms for the cases: plain functions of time with names, and the moments where they jump."""

import math
from dataclasses import dataclass

import numpy as np

from tests.solve.time.reference_laws import Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Tone:
    """`volts` is the peak of a sine that comes in smoothly within a few `rise_s`, around `around_v`."""

    hz: float
    volts: float
    around_v: float = 0.0
    rise_s: float = 2e-4

    def __call__(self, t: float) -> float:
        return self.around_v - self.volts * math.expm1(-((t / self.rise_s) ** 2)) * math.sin(
            2 * math.pi * self.hz * t
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Bump:
    """A bell of height `volts` on `around_v`, half as wide as `wide_s` either side of `at_s`."""

    at_s: float
    wide_s: float
    volts: float
    around_v: float = 0.0

    def __call__(self, t: float) -> float:
        return self.around_v + self.volts * math.exp(-0.5 * ((t - self.at_s) / (0.25 * self.wide_s)) ** 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Square:
    """Jumps between +volts and -volts, beginning at zero; jumps fall on multiples of `half_s`."""

    half_s: float
    volts: float

    def __call__(self, t: float) -> float:
        turn = math.floor(t / self.half_s)
        return 0.0 if turn < 1 else self.volts * (1.0 if turn % 2 else -1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Edges:
    """Smooth edges of `rise_s` between +volts and -volts, `half_s` apart: a square wave without jumps."""

    half_s: float
    volts: float
    rise_s: float

    def __call__(self, t: float) -> float:
        found, sign = 0.0, 1.0
        for turn in range(1, int(t / self.half_s) + 3):
            step = 0.5 * (1.0 + math.tanh((t - turn * self.half_s) / self.rise_s))
            found += sign * self.volts * step * (1.0 if turn == 1 else 2.0)
            sign = -sign
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Rise:
    """From nothing to `volts`: half way at `at_s`, from a quarter to three quarters within about `rise_s`."""

    at_s: float
    rise_s: float
    volts: float

    def __call__(self, t: float) -> float:
        return 0.5 * self.volts * (1.0 + math.tanh((t - self.at_s) / self.rise_s))


Waveform = Tone | Bump | Square | Edges | Rise


def sampled(waveform: Waveform, times_s: Floats) -> Floats:
    """The waveform at many moments."""
    return np.array([waveform(float(t)) for t in times_s])
