"""A click: one band-limited pulse, for hearing and measuring echoes one by one."""

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.sources import options
from pedalwright.sound.sources.shaping import at_peak, frames_of
from pedalwright.sound.sources.source import Settings, Source

EDGE_HZ = 21e3
"""the middle of the pulse's upper edge; at rates below 48 kHz it lies at `_EDGE_SHARE` of the rate instead"""
_EDGE_SHARE = 0.4375
_SIDE_TURNS = 18.0
"""half periods of the edge on either side: with this window the spectrum is even to 18 kHz and 80 dB down
at 24
"""
_KAISER = 8.0
CENTRE_S = 0.002
"""the pulse stands 2 ms after the beginning, so that its rise is whole"""


def _make(settings: Settings, rate_hz: float) -> FloatArray:
    edge_hz = min(EDGE_HZ, _EDGE_SHARE * rate_hz)
    side_s = _SIDE_TURNS / (2 * edge_hz)
    frames = frames_of(settings.number("seconds"), rate_hz)
    from_centre_s = np.arange(frames) / rate_hz - round(CENTRE_S * rate_hz) / rate_hz
    inside = np.clip(1 - (from_centre_s / side_s) ** 2, 0.0, None)
    window = np.where(inside > 0, np.i0(_KAISER * np.sqrt(inside)), 0.0)
    return at_peak(np.sinc(2 * edge_hz * from_centre_s) * window, settings.number("level"))


SOURCE = Source(
    name="click",
    says="one short pulse with all frequencies alike up to 18 kHz, then silence",
    options=(options.seconds("0.5s"), options.LEVEL),
    has_main=False,
    make=_make,
    source="a sinc pulse under a Kaiser window (Kaiser, Schafer, IEEE Trans. ASSP 28(1), 1980; from memory)",
)
