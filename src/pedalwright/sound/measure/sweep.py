"""The exponential sine sweep, and what comes back taken apart into one impulse response an order.

Sources: A. Farina, Simultaneous measurement of impulse response and distortion with a swept-sine technique,
108th AES Convention, preprint 5093, 2000; A. Novak, P. Lotton, L. Simon, Synchronized swept-sine: theory,
application, and implementation, J. Audio Eng. Soc. 63, 786-798, 2015 (both from memory).
"""

import math
from dataclasses import dataclass

import numpy as np

from pedalwright.solve.arrays import ComplexArray, FloatArray
from pedalwright.sound.measure.spectrum import fast_frames

_MIX_OCTAVES = 2.0
_TOP_OCTAVES = 0.06
"""the bottom and top of the sweep, where its strength comes and goes: outside the band to be reported"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sweep:
    """sin(2 pi f1 L exp(t/L)) from `low_hz` f1 to `high_hz`, with f1 L whole: every harmonic of the sweep is
    the sweep itself, earlier by L ln(order).
    """

    rate_hz: float
    low_hz: float
    high_hz: float
    growth_s: float

    @property
    def seconds(self) -> float:
        """How long it sounds [s]."""
        return self.growth_s * math.log(self.high_hz / self.low_hz)

    @property
    def band_hz(self) -> tuple[float, float]:
        """Where it has its full strength [Hz]."""
        return self.low_hz * 2**_MIX_OCTAVES, self.high_hz / 2**_TOP_OCTAVES

    def early_s(self, order: int) -> float:
        """How much earlier than the linear response that of an order comes [s]."""
        return self.growth_s * math.log(order)

    def signal(self, peak_v: float, tail_s: float) -> FloatArray:
        """The sweep and a silence behind it (frames,) [V]."""
        at_s = np.arange(math.floor(self.seconds * self.rate_hz)) / self.rate_hz
        grown = np.exp(at_s / self.growth_s)
        strength = _rise(np.log2(grown) / (_MIX_OCTAVES / 2)) * _rise(
            np.log2(self.high_hz / self.low_hz / grown) / _TOP_OCTAVES
        )
        sound = peak_v * strength * np.sin(2 * np.pi * self.low_hz * self.growth_s * grown)
        return np.concatenate((sound, np.zeros(round(tail_s * self.rate_hz))))


def sweep(
    rate_hz: float, *, seconds: float = 6.0, low_hz: float = 20.0, high_hz: float | None = None
) -> Sweep:
    """A sweep of about so many seconds that reaches beyond the band to be reported, low_hz to high_hz."""
    start_hz = low_hz / 2**_MIX_OCTAVES
    end_hz = min((high_hz or rate_hz) * 2**_TOP_OCTAVES, 0.495 * rate_hz)
    cycles = math.ceil(start_hz * seconds / math.log(end_hz / start_hz))
    return Sweep(rate_hz=rate_hz, low_hz=start_hz, high_hz=end_hz, growth_s=cycles / start_hz)


def taken_apart(swept: Sweep, sent_v: FloatArray, heard_v: FloatArray) -> FloatArray:
    """Impulse response (frames,) for one volt: the linear one from frame 0 on, that of the n-th order L ln n
    earlier, which wraps round to the end. Outside the sweep's band it is faded out.
    """
    frames = fast_frames(len(heard_v))
    sent, heard = np.fft.rfft(sent_v, frames), np.fft.rfft(heard_v, frames)
    hz: FloatArray = np.fft.rfftfreq(frames, 1 / swept.rate_hz).astype(np.float64)
    inside = (hz > swept.low_hz) & (hz < swept.high_hz)
    ratio: ComplexArray = np.zeros(len(hz), dtype=complex)
    ratio[inside] = heard[inside] / sent[inside] * _window(hz[inside], swept)
    return np.asarray(np.fft.irfft(ratio, frames))


def _window(hz: FloatArray, swept: Sweep) -> FloatArray:
    low_hz, high_hz = swept.band_hz
    bottom = (hz - swept.low_hz) / (low_hz - swept.low_hz)
    return _rise(bottom) * _rise((swept.high_hz - hz) / (swept.high_hz - high_hz))


def _rise(part: FloatArray) -> FloatArray:
    """From 0 to 1 with no step in any early derivative, so that little rings."""
    x = np.clip(part, 0, 1)
    return np.asarray(x**4 * (35 - 84 * x + 70 * x**2 - 20 * x**3))
