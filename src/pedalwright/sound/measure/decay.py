"""How long sound rings on after a click: the time of a fall by 60 dB.

Source: M. R. Schroeder, New method of measuring reverberation time, J. Acoust. Soc. Am. 37, 409-412, 1965;
ranges of evaluation (T20, T30) of ISO 3382-1 (both from memory).
"""

from dataclasses import dataclass, replace

import numpy as np

from pedalwright.formulas.echo import decay_s
from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.measure.arrival_parts import envelope
from pedalwright.sound.measure.repeats_heard import HeardRepeats
from pedalwright.sound.measure.signals import obstacles

STAIRS_BELOW = 0.7
"""below this ratio from one repeat to the next the backward integral is a staircase too coarse for a line"""
_RANGES_DB = ((-5.0, -35.0), (-5.0, -25.0))
_NOISE_ROOM_DB = 10.0
_BENT = 0.1
_ROUNDS = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Decay:
    """Time of a fall by 60 dB, continued from the range that was fitted.

    `method` is ``backward integration`` or ``ratio of repeats``. `fitted_db` is the range of the first;
    `bent` how much the second half of that range differs from the first, relative.
    """

    band_hz: tuple[float, float]
    rt60_s: float | None = None
    method: str = ""
    fitted_db: tuple[float, float] | None = None
    bent: float | None = None
    remarks: tuple[str, ...] = ()


def decay(
    heard_v: FloatArray,
    rate_hz: float,
    *,
    band_hz: tuple[float, float] = (500.0, 2000.0),
    repeats: HeardRepeats | None = None,
) -> Decay:
    """Decay of the answer (frames,) [V] to a click, within a band.

    Where regular `repeats` fall steeply (ratio below 0.7) their ratio gives the time; otherwise a line
    through the backward integral does.
    """
    unknown = Decay(band_hz=band_hz)
    troubles = obstacles(heard_v)
    if troubles:
        return replace(unknown, remarks=troubles)
    if repeats is not None and repeats.ratio is not None and repeats.spacing_s is not None:
        if repeats.ratio >= 1:
            return replace(unknown, remarks=("the repeats do not die away",))
        if repeats.ratio < STAIRS_BELOW:
            time_s = decay_s(repeats.spacing_s, repeats.ratio)
            return replace(unknown, rt60_s=time_s, method="ratio of repeats")
    return _integrated(envelope(heard_v, rate_hz, band_hz), rate_hz, unknown)


def fall_db(energy: FloatArray, noise: float, beyond: float) -> tuple[FloatArray, float]:
    """Backward integral (frames,) [dB] of an energy without its noise a frame, and the level of what noise
    may be left in it. `beyond` is energy after the end of the record.
    """
    left = np.cumsum((energy - noise)[::-1])[::-1] + beyond
    level_db = 10 * np.log10(np.maximum(left / left.max(), 1e-20))
    return level_db, float(10 * np.log10(noise * np.sqrt(len(energy)) / left.max() + 1e-20))


def _integrated(energy: FloatArray, rate_hz: float, unknown: Decay) -> Decay:
    """Noise and what comes after the record follow from the decay time, and the time from them: in rounds."""
    energy = energy[int(np.argmax(energy)) :]
    noise = float(np.median(energy[-max(1, len(energy) // 10) :])) / np.log(2)
    beyond, found = 0.0, unknown
    for _ in range(_ROUNDS):
        found = _fitted(fall_db(energy, noise, beyond), rate_hz, unknown)
        if found.rt60_s is None:
            break
        noise, beyond = _noise_and_beyond(energy, found.rt60_s * rate_hz)
    return found


def _noise_and_beyond(energy: FloatArray, fall_frames: float) -> tuple[float, float]:
    """Noise a frame, and what would still have come after the end, from the last two tenths: sound that falls
    as it should from the one to the other, and noise that does not.
    """
    tenth = max(1, len(energy) // 10)
    before, last = (float(part.sum()) for part in (energy[-2 * tenth : -tenth], energy[-tenth:]))
    kept = 10 ** (-6 * tenth / fall_frames)
    noise = min(max((last - kept * before) / (1 - kept), 0.0), last)
    return noise / tenth, (last - noise) * kept / (1 - kept)


def _fitted(fall: tuple[FloatArray, float], rate_hz: float, unknown: Decay) -> Decay:
    level_db, noise_db = fall
    for top_db, bottom_db in _RANGES_DB:
        first, last = int(np.argmax(level_db <= top_db)), int(np.argmax(level_db <= bottom_db))
        if noise_db > bottom_db - _NOISE_ROOM_DB or not 0 < last < 0.9 * len(level_db):
            continue
        if last - first < 4:
            return replace(unknown, remarks=("falls too quickly for a decay time",))
        return _line(level_db[first:last], rate_hz, replace(unknown, fitted_db=(top_db, bottom_db)))
    why = "the record is too short or too noisy for a fall of 20 dB to be seen"
    return replace(unknown, remarks=(why,))


def _line(level_db: FloatArray, rate_hz: float, found: Decay) -> Decay:
    at_s = np.arange(len(level_db)) / rate_hz
    slope = np.polyfit(at_s, level_db, 1)[0]
    halves = [np.polyfit(at, part, 1)[0] for at, part in _halves(at_s, level_db)]
    bent = float(abs(halves[1] / halves[0] - 1))
    told = ("the fall is not a straight line: the time depends on the range",) if bent > _BENT else ()
    return replace(found, rt60_s=float(-60 / slope), method="backward integration", bent=bent, remarks=told)


def _halves(at_s: FloatArray, level_db: FloatArray) -> list[tuple[FloatArray, FloatArray]]:
    middle = len(at_s) // 2
    return [(at_s[:middle], level_db[:middle]), (at_s[middle:], level_db[middle:])]
