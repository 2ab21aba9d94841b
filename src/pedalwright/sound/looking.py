"""What a sound looks like: its outline, its spectrum over time, and its level per octave over time.

Spectra are read in pieces from a tape, as many as the picture has columns, so a long sound costs as little as
a short one; between two pieces of a long sound lies some that is not looked at.
"""

from dataclasses import dataclass

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.tape import Tape
from pedalwright.sound.through import RATE_HZ

COLUMNS = 600
OUTLINE_COLUMNS = 400
ROWS = 120
LOW_HZ, HIGH_HZ = 40.0, 16e3
WINDOW = 4096
"""85 ms: tells the strings of a guitar apart"""
SHORT_WINDOW = 2048
"""43 ms: tells repeats apart"""
OCTAVES_HZ = (62.5, 125.0, 250.0, 500.0, 1e3, 2e3, 4e3, 8e3)
"""middles of octave bands, near enough those of IEC 61260-1"""
SILENCE_DB = -200.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Outline:
    """The lowest and the highest volts in each of the columns, (columns,)."""

    time_s: FloatArray
    low_v: FloatArray
    high_v: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Looks:
    """What went in and what came out, over `seconds`.

    `spectrum_db` (ROWS, columns): rows evenly spread over the octaves from LOW_HZ to HIGH_HZ. `octaves_db`
    (octaves, columns). Both in decibels above 1 V rms, SILENCE_DB for nothing.
    """

    seconds: float
    before: Outline
    after: Outline
    spectrum_db: FloatArray
    octaves_db: FloatArray


def looks(before: Tape, after: Tape) -> Looks:
    """The looks of what went in and what came out, both of the same length; of several channels, their mean
    power.
    """
    columns = int(np.clip(after.frames // 256, 2, COLUMNS))
    return Looks(
        seconds=after.frames / RATE_HZ,
        before=outline(before, after.frames),
        after=outline(after, after.frames),
        spectrum_db=_decibels(_bands(after, columns, WINDOW, _spectrum_edges())),
        octaves_db=_decibels(_bands(after, columns, SHORT_WINDOW, _octave_edges())),
    )


def outline(tape: Tape, frames: int) -> Outline:
    """The outline of the first `frames` of a tape; of several channels, the lowest and highest of any."""
    columns = int(np.clip(frames, 1, OUTLINE_COLUMNS))
    edges = np.linspace(0, frames, columns + 1).astype(int)
    low_v, high_v = np.zeros(columns), np.zeros(columns)
    for at in range(columns):
        for start in range(edges[at], edges[at + 1], 1 << 16):
            piece = tape.read(start, min(edges[at + 1] - start, 1 << 16))
            low_v[at], high_v[at] = min(low_v[at], piece.min()), max(high_v[at], piece.max())
    return Outline(time_s=(edges[:-1] + edges[1:]) / (2 * RATE_HZ), low_v=low_v, high_v=high_v)


def onset_s(tape: Tape) -> float | None:
    """When the sound first comes within 20 dB of its largest swing; None for silence."""
    largest = max((float(np.abs(block).max()) for block in tape.blocks()), default=0.0)
    start = 0
    for block in tape.blocks() if largest > 0 else ():
        loud = np.flatnonzero(np.abs(block).max(axis=1) >= largest / 10)
        if len(loud):
            return (start + int(loud[0])) / RATE_HZ
        start += len(block)
    return None


def _bands(tape: Tape, columns: int, window: int, edges_hz: FloatArray) -> FloatArray:
    """Mean square (bands, columns) between edges (bands, 2), in short stretches spread evenly."""
    hann = np.hanning(window)
    scale = 2.0 / (np.sum(hann**2) * window)
    middles = (np.arange(columns) + 0.5) * tape.frames / columns
    frequency_hz = np.asarray(np.fft.rfftfreq(window, 1 / RATE_HZ), dtype=np.float64)
    found = np.zeros((len(edges_hz), columns))
    shares = _shares(frequency_hz, edges_hz)
    for at, middle in enumerate(middles):
        piece = tape.read(round(middle) - window // 2, window)
        power = np.mean(np.abs(np.fft.rfft(piece * hann[:, None], axis=0)) ** 2, axis=1)
        found[:, at] = shares @ (power * scale)
    return found


def _shares(frequency_hz: FloatArray, edges_hz: FloatArray) -> FloatArray:
    """How much of each line (lines,) lies in each band (bands, 2): a line is as wide as their distance."""
    half = (frequency_hz[1] - frequency_hz[0]) / 2
    low = np.maximum(edges_hz[:, :1], frequency_hz - half)
    high = np.minimum(edges_hz[:, 1:], frequency_hz + half)
    return np.asarray(np.clip(high - low, 0.0, None) / (2 * half))


def _spectrum_edges() -> FloatArray:
    edges = np.geomspace(LOW_HZ, HIGH_HZ, ROWS + 1)
    return np.stack([edges[:-1], edges[1:]], axis=1)


def _octave_edges() -> FloatArray:
    middles = np.array(OCTAVES_HZ)
    return np.stack([middles / np.sqrt(2), middles * np.sqrt(2)], axis=1)


def _decibels(power: FloatArray) -> FloatArray:
    return np.asarray(10 * np.log10(np.maximum(power, 10 ** (SILENCE_DB / 10))))
