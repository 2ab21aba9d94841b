"""How loud a signal is: effective value, peak, crest factor, A-weighted level, resting voltage."""

from dataclasses import dataclass
from typing import cast

import numpy as np

from pedalwright.formulas.weighting import a_weighting_ratio
from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.measure.signals import Fresh, decibels, flat_tops, obstacles, played
from pedalwright.sound.measure.spectrum import power_spectrum


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """Voltages about the resting voltage `dc_v`, which is the mean. A sine has a crest of 3.01 dB.

    `a_weighted_rms_v` takes the mean spectrum of the whole signal; for steady sounds.
    """

    seconds: float
    rate_hz: float
    rms_v: float | None = None
    peak_v: float | None = None
    crest_db: float | None = None
    a_weighted_rms_v: float | None = None
    dc_v: float | None = None
    remarks: tuple[str, ...] = ()


def level(signal_v: FloatArray, rate_hz: float) -> Level:
    """The level of a finished signal (frames,) [V]."""
    troubles = obstacles(signal_v)
    if troubles:
        return _unknown(signal_v, rate_hz, troubles)
    dc_v = float(signal_v.mean())
    moving_v = signal_v - dc_v
    rms_v, peak_v = float(np.sqrt(np.mean(moving_v**2))), float(np.abs(moving_v).max())
    return Level(
        seconds=len(signal_v) / rate_hz,
        rate_hz=rate_hz,
        rms_v=rms_v,
        peak_v=peak_v,
        crest_db=decibels(peak_v / rms_v),
        a_weighted_rms_v=rms_v * a_weighted_share(signal_v, rate_hz),
        dc_v=dc_v,
        remarks=flat_tops(signal_v),
    )


def idle_level(fresh: Fresh, rate_hz: float, *, wait_s: float = 1.0, seconds: float = 2.0) -> Level:
    """What comes out when nothing goes in: noise, hum or oscillation, after a wait for start-up."""
    silence_v = np.zeros(round((wait_s + seconds) * rate_hz))
    return level(played(fresh, silence_v)[round(wait_s * rate_hz) :], rate_hz)


def a_weighted_share(signal_v: FloatArray, rate_hz: float) -> float:
    """A-weighted effective value against the plain one [-], from the mean spectrum; IEC 61672-1."""
    frequency_hz, power = power_spectrum(signal_v, rate_hz)
    # The formula serves arrays as well as floats; its annotation names the floats.
    weight = np.asarray(a_weighting_ratio(cast(float, frequency_hz)))
    return float(np.sqrt((power * weight**2).sum() / power.sum()))


def _unknown(signal_v: FloatArray, rate_hz: float, remarks: tuple[str, ...]) -> Level:
    # The resting voltage of a silent signal is as good a figure as any other.
    known = len(signal_v) > 0 and bool(np.isfinite(signal_v).all())
    return Level(
        seconds=len(signal_v) / rate_hz,
        rate_hz=rate_hz,
        dc_v=float(signal_v.mean()) if known else None,
        remarks=remarks,
    )
