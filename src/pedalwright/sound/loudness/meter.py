"""Loudness and peaks of a sound of any length, heard block by block.

Source: Recommendation ITU-R BS.1770-4 (10/2015): K-weighting, mean squares over blocks of 0.4 s that
overlap by three quarters, two gates. Of each quarter of a block one number is kept: 288 kB for ten hours.
"""

import math
from array import array
from collections.abc import Iterable

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.loudness.gating import ABSOLUTE_GATE_LUFS, gated_lufs, lufs_of
from pedalwright.sound.loudness.k_weighting import KWeighting
from pedalwright.sound.loudness.records import Loudness, Measured
from pedalwright.sound.loudness.true_peak import PeakMeter

QUARTERS_A_SECOND = 10
QUARTERS_A_BLOCK = 4
_BLOCK_FRAMES = 65536


class LoudnessMeter:
    """Hears blocks, (frames,) or (frames, channels), at a rate [Hz] of 8 kHz or more, full scale at one.

    One or two channels, which count alike; a sound of one channel counts as one (a sine of the same peak is
    3 LU softer than in two). An incomplete block at the end does not count, as the standard has it.
    """

    def __init__(self, rate_hz: float, channels: int = 1) -> None:
        if channels not in (1, 2):
            raise ValueError(f"the loudness of {channels} channels is not measured here, only of one or two")
        self.rate_hz, self.channels = rate_hz, channels
        self._weighting = KWeighting(rate_hz, channels)
        self._peaks = PeakMeter(rate_hz, channels)
        self._quarters = array("d", [0.0])
        self._frames = 0

    def take(self, block: FloatArray) -> None:
        """Hear the next block."""
        shaped = block.reshape(len(block), self.channels)
        if len(shaped):
            self._peaks.take(shaped)
            self._add(np.square(self._weighting.weighted(shaped)).sum(axis=1))

    def loudness(self) -> Loudness:
        """Of everything heard. Nothing can be heard afterwards."""
        lufs, measured = self._lufs()
        return Loudness(
            lufs=lufs,
            measured=measured,
            sample_peak=self._peaks.sample_peak,
            true_peak=self._peaks.true_peak(),
            seconds=self._frames / self.rate_hz,
        )

    def _add(self, squares: FloatArray) -> None:
        """To each quarter its share; the last one stays open."""
        end = self._frames + len(squares)
        starts = [0]
        number = len(self._quarters)
        while (edge := self._edge(number)) < end:
            starts.append(edge - self._frames)
            number += 1
        if starts[1:] and starts[1] == 0:
            self._quarters.append(0.0)
            del starts[0]
        sums = np.add.reduceat(squares, starts)
        self._quarters[-1] += float(sums[0])
        self._quarters.extend(sums[1:].tolist())
        self._frames = end

    def _edge(self, number: int) -> int:
        """The frame a quarter begins at."""
        return math.floor(number * self.rate_hz / QUARTERS_A_SECOND + 1e-6)

    def _lufs(self) -> tuple[float, Measured]:
        complete = len(self._quarters) if self._edge(len(self._quarters)) <= self._frames else -1
        quarters = np.array(self._quarters[:complete])
        if self._peaks.sample_peak == 0:
            return -math.inf, Measured.SILENT
        if len(quarters) < QUARTERS_A_BLOCK:
            lufs = float(lufs_of(np.array(sum(self._quarters) / self._frames)))
            return (lufs, Measured.WHOLE) if lufs > ABSOLUTE_GATE_LUFS else (-math.inf, Measured.TOO_QUIET)
        blocks = np.convolve(quarters, np.ones(QUARTERS_A_BLOCK), "valid")
        lufs = gated_lufs(blocks * QUARTERS_A_SECOND / (QUARTERS_A_BLOCK * self.rate_hz))
        return lufs, Measured.GATED if math.isfinite(lufs) else Measured.TOO_QUIET


def loudness_of(sound: FloatArray, rate_hz: float) -> Loudness:
    """The loudness of a whole sound, (frames,) or (frames, channels); limits as `LoudnessMeter`."""
    blocks = (sound[begin : begin + _BLOCK_FRAMES] for begin in range(0, len(sound), _BLOCK_FRAMES))
    return loudness_of_stream(blocks, rate_hz, 1 if sound.ndim == 1 else sound.shape[1])


def loudness_of_stream(blocks: Iterable[FloatArray], rate_hz: float, channels: int) -> Loudness:
    """The loudness of a stream of blocks; limits as `LoudnessMeter`."""
    meter = LoudnessMeter(rate_hz, channels)
    for block in blocks:
        meter.take(block)
    return meter.loudness()
