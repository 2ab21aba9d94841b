"""The exponential sweep and its inverse.

Source: A. Farina, "Simultaneous Measurement of Impulse Response and Distortion with a Swept-Sine
Technique", AES 108th Convention, Paris 2000, preprint 5093 (from memory).
"""

import math

import numpy as np

from pedalwright.solve.arrays import FloatArray


def sweep_phase(time_s: FloatArray, low_hz: float, high_hz: float, seconds: float) -> FloatArray:
    """Phase [rad] at each time [s] of a sweep that climbs from `low_hz` to `high_hz` in `seconds`."""
    growth = math.log(high_hz / low_hz)
    return 2 * np.pi * low_hz * seconds / growth * np.expm1(time_s / seconds * growth)


def sweep_hz(time_s: FloatArray, low_hz: float, high_hz: float, seconds: float) -> FloatArray:
    """The frequency [Hz] the sweep has at each time [s]: equal times for equal intervals."""
    return low_hz * np.exp(time_s / seconds * math.log(high_hz / low_hz))


def inverse_filter(
    sweep: FloatArray, rate_hz: float, low_hz: float, high_hz: float, seconds: float
) -> FloatArray:
    """The filter (frames,) that turns the sweep (frames,) back into one pulse, at frame ``len(sweep) - 1``.

    The sweep backwards, falling with its own frequency so that all frequencies come out alike; scaled so
    that the spectrum of sweep and filter together is one within the band, whatever the sweep's level.
    """
    time_s = np.arange(len(sweep)) / rate_hz
    backwards = (sweep * sweep_hz(time_s, low_hz, high_hz, seconds))[::-1]
    size = 1 << (2 * len(sweep) - 1).bit_length()
    together = np.abs(np.fft.rfft(sweep, size) * np.fft.rfft(backwards, size))
    middle_hz = math.sqrt(low_hz * high_hz)
    step_hz = rate_hz / size
    inner = slice(
        int(middle_hz / 1.5 / step_hz),
        max(int(middle_hz * 1.5 / step_hz), int(middle_hz / 1.5 / step_hz) + 1),
    )
    return backwards / float(together[inner].mean())
