"""Corners of a response, where its level has fallen 3 dB from its pass band for good; dips, where it comes
back.
"""

from dataclasses import dataclass
from math import log10

import numpy as np
from numpy.typing import NDArray

from pedalwright.solve.local_fit import crossing_hz, local_response

ComplexArray = NDArray[np.complex128]
FloatArray = NDArray[np.float64]
HEARD_HZ = (20.0, 20_000.0)
FALL_DB = 3.0103
"""half the power"""
FLAT_DB_PER_OCTAVE = 1.0
"""a level that changes less than this belongs to a pass band (house rule)"""
SKIRT_DB_PER_OCTAVE = 3.0
"""a level that changes more than this at its highest point has no pass band on the curve (house rule)"""
COME_BACK_DB = 6.0
"""a level that comes back to within this of where it fell from has dipped, not ended (house rule)"""
FINE_POINTS = 41


@dataclass(frozen=True, slots=True)
class Dip:
    """Where a level is lowest between two stretches of pass band, and how far below the first of them."""

    frequency_hz: float
    depth_db: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Corners:
    """Pass-band level with its frequency, the -3 dB corners on both sides (None: beyond the curve), and the
    dips between them in order of frequency.
    """

    reference_hz: float
    reference_db: float
    low_hz: float | None
    high_hz: float | None
    dips: tuple[Dip, ...] = ()


def find_corners(frequency_hz: FloatArray, gain: ComplexArray, reference_hz: float) -> Corners | None:
    """Corners of a response sampled evenly by ratio; None when it is not all finite, nowhere above nothing,
    or has no pass band.

    The pass band is the flattest stretch near `reference_hz`, going uphill from there; from within a dip it
    is the highest level within hearing.
    """
    size = np.abs(gain)
    if not np.all(np.isfinite(size)) or not np.all(size > 0):
        return None
    return _Search(frequency_hz, gain, 20 * np.log10(size)).corners(reference_hz)


@dataclass(frozen=True, slots=True, eq=False)
class _Search:
    frequency_hz: FloatArray
    gain: ComplexArray
    level_db: FloatArray

    def corners(self, reference_hz: float) -> Corners | None:
        start = self._pass_band(int(np.argmin(np.abs(np.log(self.frequency_hz / reference_hz)))))
        if start is None:
            return None
        low_hz, below = self._outwards(start, -1)
        high_hz, above = self._outwards(start, 1)
        return Corners(
            reference_hz=float(self.frequency_hz[start]),
            reference_db=float(self.level_db[start]),
            low_hz=low_hz,
            high_hz=high_hz,
            dips=(*reversed(below), *above),
        )

    def _pass_band(self, place: int) -> int | None:
        level, heard = self.level_db, self._heard()
        inside = np.where(heard, level, -np.inf)
        # In a dip both sides stand higher: uphill could be either way.
        if (
            min(inside[:place].max(initial=-np.inf), inside[place:].max(initial=-np.inf))
            > level[place] + FALL_DB
        ):
            place = int(np.argmax(inside))
        octave = float(np.log2(self.frequency_hz[1] / self.frequency_hz[0]))
        while (step := self._uphill(place, octave)) != 0:
            place += step
        return place if self._slope(place, octave) < SKIRT_DB_PER_OCTAVE else None

    def _uphill(self, place: int, octave: float) -> int:
        """One step towards a higher level; none on a top, nor on a flat stretch before a steeper one."""
        level, last = self.level_db, len(self.level_db) - 1
        step = 1 if level[min(place + 1, last)] > level[max(place - 1, 0)] else -1
        ahead = place + step
        if not 0 <= ahead <= last or level[ahead] <= level[place]:
            return 0
        here, there = self._slope(place, octave), self._slope(ahead, octave)
        return 0 if here < FLAT_DB_PER_OCTAVE and there >= here else step

    def _slope(self, place: int, octave: float) -> float:
        """Size of the slope in decibels an octave, from neighbour to neighbour."""
        left, right = max(place - 1, 0), min(place + 1, len(self.level_db) - 1)
        return float(abs(self.level_db[right] - self.level_db[left]) / (octave * (right - left)))

    def _heard(self) -> NDArray[np.bool_]:
        return np.asarray((self.frequency_hz >= HEARD_HZ[0]) & (self.frequency_hz <= HEARD_HZ[1]))

    def _outwards(self, start: int, step: int) -> tuple[float | None, list[Dip]]:
        """The corner on one side, and the dips before it; behind a dip the level that came back counts."""
        dips: list[Dip] = []
        while (fall := self._fall(start, step)) is not None:
            back = self._back(start, fall, step)
            if back is None:
                return self._crossing(fall, step, float(self.level_db[start]) - FALL_DB), dips
            dips.append(self._dip(start, back))
            start = back
        return None, dips

    def _fall(self, start: int, step: int) -> int | None:
        """The last place on the way out before the level has fallen."""
        fallen = self.level_db[start::step] <= self.level_db[start] - FALL_DB
        found = int(np.argmax(fallen))
        return start + step * (found - 1) if fallen[found] else None

    def _back(self, start: int, fall: int, step: int) -> int | None:
        """The top the level climbs back to within hearing, if it does."""
        level, heard = self.level_db, self._heard()
        lowest, place = float("inf"), fall + step
        while 0 <= place < len(level) and heard[place]:
            lowest = min(lowest, float(level[place]))
            if level[place] > max(lowest + FALL_DB, level[start] - COME_BACK_DB):
                return self._top(place, step)
            place += step
        return None

    def _top(self, place: int, step: int) -> int:
        while 0 <= place + step < len(self.level_db) and self.level_db[place + step] > self.level_db[place]:
            place += step
        return place

    def _crossing(self, place: int, step: int, bound_db: float) -> float:
        left = min(place, place + step)
        return crossing_hz(
            self.frequency_hz, self.gain, left, lambda value: 20 * log10(abs(value) or 1e-300) - bound_db
        )

    def _dip(self, start: int, back: int) -> Dip:
        """The lowest point between two places, found between the samples."""
        left, right = min(start, back), max(start, back)
        lowest = left + int(np.argmin(self.level_db[left : right + 1]))
        found = [(float(self.level_db[lowest]), float(self.frequency_hz[lowest]))]
        for place in (lowest - 1, lowest):
            response = local_response(self.frequency_hz, self.gain, place)
            fine = np.geomspace(self.frequency_hz[place], self.frequency_hz[place + 1], FINE_POINTS)
            found += [(20 * log10(abs(response(float(hz))) or 1e-300), float(hz)) for hz in fine]
        level_db, hz = min(found)
        return Dip(frequency_hz=hz, depth_db=float(self.level_db[start]) - level_db)
