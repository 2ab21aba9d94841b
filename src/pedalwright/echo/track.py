"""A knob's track as the loop needs it: both halves at every position of the dial."""

from dataclasses import dataclass, replace

import numpy as np

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Resistance
from pedalwright.devices.catalogue import device
from pedalwright.solve.arrays import FloatArray

LOWEST, HIGHEST = 0.0, 10.0
STEPS = 101
"""Tenths of the dial: the laws of tracks have their break-points on them, so that straight lines between are
exact.
"""


@dataclass(frozen=True, kw_only=True, eq=False)
class Track:
    """The halves of a knob (lug 1 to 2, lug 2 to 3) over the dial: `ohms` (positions, 2)."""

    ref: str
    halves: tuple[Resistance, ...]
    now: float
    positions: FloatArray
    ohms: FloatArray

    def ohms_at(self, position: FloatArray | float) -> FloatArray:
        """Both halves at some positions of the dial: (..., 2)."""
        at = np.asarray(position, dtype=float)
        return np.stack([np.interp(at, self.positions, half) for half in self.ohms.T], axis=-1)

    def grown(self, position: FloatArray | float, track_factor: FloatArray | float = 1.0) -> FloatArray:
        """By how much the halves conduct more than as they stand [S], for tracks off by a factor: (...,
        2).
        """
        now = np.array([half.ohms for half in self.halves])
        factor = np.asarray(track_factor, dtype=float)[..., None]
        return np.asarray(1.0 / (self.ohms_at(position) * factor) - 1.0 / now)


def track_of(part: Part) -> Track:
    """The track of a knob or trim as its device expands."""
    positions = np.linspace(LOWEST, HIGHEST, STEPS)
    ohms = [[half.ohms for half in _halves(replace(part, setting=float(at)))] for at in positions]
    now = 5.0 if part.setting is None else float(part.setting)
    return Track(ref=part.ref, halves=_halves(part), now=now, positions=positions, ohms=np.array(ohms))


def _halves(part: Part) -> tuple[Resistance, ...]:
    return tuple(one for one in device(part.kind).expand(part) if isinstance(one, Resistance))
