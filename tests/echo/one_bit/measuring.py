"""What a bench would measure on the bare converter, pin 15 to pin 12: tones, edges, idle noise."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from pedalwright.echo.one_bit.one_chip import OneChip
from pedalwright.echo.one_bit.through import through
from pedalwright.solve.arrays import FloatArray, IndexArray

RATE_HZ = 96_000
DENSE_HZ = 768_000
BAND_HZ = 20e3
LEAST_HZ = 20.0
EDGE_HZ = 1000.0
"""How often the square wave of the step measurement repeats. The source does not tell; 1 kHz is the frequency
of that author's other measurements. A slower one finds emptier stores and slower edges.
"""
DBU_V = 0.6**0.5
A_WEIGHTING_HZ = (20.598997, 107.65265, 737.86223, 12194.217)
"""the four corners of IEC 61672-1"""


@dataclass(frozen=True, slots=True)
class Tone:
    """A tone after the converter: its rms [V]; its harmonics, and all that is not it, as shares of it [%]."""

    rms_v: float
    harmonics_percent: float
    rest_percent: float

    @property
    def signal_to_rest_db(self) -> float:
        """The tone over all the rest."""
        return float(-20 * np.log10(self.rest_percent / 100))


@lru_cache(maxsize=256)
def tone(
    rms_v: float,
    frequency_hz: float,
    delay_s: float,
    chip: OneChip,
    *,
    seconds: float = 2.0,
    band_hz: float = BAND_HZ,
    weighted: bool = False,
    decoder_farads: float | None = None,
) -> Tone:
    """A tone of whole periods in `seconds`, once the echo has come, from 20 Hz to `band_hz`."""
    after_s = 0.05  # the resampling filter's end
    frames = round(RATE_HZ * (delay_s + 0.2 + seconds + after_s))
    into = 2**0.5 * rms_v * np.sin(2 * np.pi * frequency_hz * np.arange(frames) / RATE_HZ)
    out = through(into, RATE_HZ, delay_s=delay_s, chip=chip, decoder_farads=decoder_farads)
    kept = round(RATE_HZ * seconds)
    power, inside = _power(out[-kept - round(RATE_HZ * after_s) :][:kept], band_hz, weighted=weighted)
    first = round(frequency_hz * seconds)
    harmonics = power[2 * first : round(band_hz * seconds) + 1 : first].sum()
    rest = power[inside].sum() - power[first]
    return Tone(
        rms_v=float(power[first] ** 0.5),
        harmonics_percent=float(100 * (harmonics / power[first]) ** 0.5),
        rest_percent=float(100 * (rest / power[first]) ** 0.5),
    )


def gain_db(
    rms_v: float, frequency_hz: float, delay_s: float, chip: OneChip, decoder_farads: float | None = None
) -> float:
    """Level of a tone at pin 12 over that at pin 15."""
    found = tone(rms_v, frequency_hz, delay_s, chip, seconds=0.5, decoder_farads=decoder_farads)
    return float(20 * np.log10(found.rms_v / rms_v))


def idle_dbv(delay_s: float, chip: OneChip, *, weighted: bool, seconds: float = 2.0) -> float:
    """Noise at pin 12 with nothing at pin 15, 20 Hz to 20 kHz, A-weighted (IEC 61672-1) or not [dBV]."""
    frames = round(RATE_HZ * (delay_s + 0.2 + seconds))
    out = through(np.zeros(frames), RATE_HZ, delay_s=delay_s, chip=chip)[-round(RATE_HZ * seconds) :]
    power, inside = _power(out, BAND_HZ, weighted=weighted)
    return float(10 * np.log10(power[inside].sum()))


def level_at_distortion_v(percent: float, delay_s: float, chip: OneChip) -> float:
    """Rms of 1 kHz at pin 12 where its harmonics have grown to so much, by halving."""
    low_v, high_v = 0.8, 3.0
    for _ in range(8):
        middle_v = 0.5 * (low_v + high_v)
        found = tone(middle_v, 1000, delay_s, chip, seconds=0.2)
        low_v, high_v = (low_v, middle_v) if found.harmonics_percent > percent else (middle_v, high_v)
    return found.rms_v


def a_weight(frequency_hz: ArrayLike) -> FloatArray:
    """The factor on an amplitude, 1 at 1 kHz."""
    return np.asarray(_unnormalised(frequency_hz) / _unnormalised(1000.0))


def edge_v_per_us(chip: OneChip, delay_s: float = 31.3e-3) -> float:
    """Mean slope from 10 to 90 % of the rising edges of a square wave of 1 V peak to peak."""
    time_s = np.arange(round(DENSE_HZ * (delay_s + 0.25))) / DENSE_HZ
    into = np.where((time_s * EDGE_HZ) % 1 < 0.5, 0.5, -0.5)
    out = through(into, DENSE_HZ, delay_s=delay_s, chip=chip)[-round(DENSE_HZ * 0.1) :]
    period = round(DENSE_HZ / EDGE_HZ)
    low, high = np.percentile(out, [2, 98])
    edges = [_rise(out[at:], low, high) for at in _upward(out[: -2 * period], period)]
    return float(0.8 * (high - low) / (np.mean(edges) / DENSE_HZ) / 1e6)


def steady_slope_v_per_us(chip: OneChip, delay_s: float = 31.3e-3) -> float:
    """Slope of the triangle a tone far too fast for the coder becomes: 8 kHz of 1 V peak."""
    time_s = np.arange(round(DENSE_HZ * (delay_s + 0.2))) / DENSE_HZ
    out = through(np.sin(2 * np.pi * 8000 * time_s), DENSE_HZ, delay_s=delay_s, chip=chip)
    return float(4 * 8000 * np.percentile(np.abs(out[-round(DENSE_HZ * 0.05) :]), 99) / 1e6)


def _power(out: FloatArray, band_hz: float, *, weighted: bool) -> tuple[FloatArray, IndexArray]:
    """Power of every whole-period tone [V²], and which lie in the band."""
    found = np.asarray(2 * np.abs(np.fft.rfft(out) / len(out)) ** 2, dtype=np.float64)
    frequency = np.fft.rfftfreq(len(out), 1 / RATE_HZ)
    if weighted:
        found = found * a_weight(frequency) ** 2
    return found, np.flatnonzero((frequency >= LEAST_HZ) & (frequency <= band_hz))


def _unnormalised(frequency_hz: ArrayLike) -> FloatArray:
    square = np.asarray(frequency_hz, dtype=float) ** 2
    f1, f2, f3, f4 = (corner**2 for corner in A_WEIGHTING_HZ)
    return np.asarray(
        f4 * square**2 / ((square + f1) * np.sqrt((square + f2) * (square + f3)) * (square + f4))
    )


def _upward(out: FloatArray, period: int) -> list[int]:
    """A half period before the middle of every rising edge."""
    crossings = np.flatnonzero((out[:-1] <= 0) & (out[1:] > 0))
    firsts = [at for at in crossings if at > period]
    return [
        int(at) - period // 2 for k, at in enumerate(firsts) if k == 0 or at - firsts[k - 1] > period // 2
    ]


def _rise(out: FloatArray, low: float, high: float) -> int:
    """Steps from the last time at 10 % before the middle to the first at 90 % behind it."""
    middle = low + 0.5 * (high - low)
    lowest = int(np.argmin(out[: len(out) // 2])) if out[0] > middle else 0
    above = lowest + int(np.argmax(out[lowest:] > middle))
    start = above - int(np.argmax(out[:above][::-1] < low + 0.1 * (high - low)))
    return above + int(np.argmax(out[above:] > low + 0.9 * (high - low))) - start
