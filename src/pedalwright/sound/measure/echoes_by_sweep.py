"""Arrivals by sweep instead of by click: the same pattern with far less noise, from far more energy."""

import numpy as np

from pedalwright.sound.measure.clicks import LEAD_S, EchoPattern, echo_pattern_of
from pedalwright.sound.measure.signals import Fresh, obstacles, played
from pedalwright.sound.measure.sweep import sweep, taken_apart


def echo_pattern_by_sweep(
    fresh: Fresh,
    rate_hz: float,
    *,
    peak_v: float,
    seconds: float = 4.0,
    sweep_s: float = 8.0,
    band_hz: tuple[float, float] = (500.0, 2000.0),
    reference_hz: float = 1000.0,
    threshold_db: float = -50.0,
    least_gap_s: float = 0.01,
    latency_frames: int = 0,
) -> EchoPattern:
    """Arrivals in the linear impulse response of a sweep of `peak_v`, for a click of one volt.

    Steady noise goes down by the energy of the sweep against that of a click; what the circuit bends comes
    before the direct sound and is left out. `latency_frames` is taken off.
    """
    swept = sweep(rate_hz, seconds=sweep_s)
    sent_v = swept.signal(peak_v, seconds + latency_frames / rate_hz)
    heard_v = played(fresh, sent_v)
    if not obstacles(heard_v):
        impulse_v = np.roll(taken_apart(swept, sent_v, heard_v), round(LEAD_S * rate_hz) - latency_frames)
        heard_v = impulse_v[: round((LEAD_S + seconds) * rate_hz)]
    return echo_pattern_of(
        heard_v,
        rate_hz,
        click_peak_v=1.0,
        band_hz=band_hz,
        reference_hz=reference_hz,
        threshold_db=threshold_db,
        least_gap_s=least_gap_s,
    )
