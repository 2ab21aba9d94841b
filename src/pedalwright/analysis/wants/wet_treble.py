"""How dark the first repeat is."""

import numpy as np

from pedalwright.analysis.wants._box import STANDING
from pedalwright.analysis.wants._record import Desk, Measured, NotKnown, WantedQuantity
from pedalwright.echo.loop import MIDDLE_HZ, loop_of
from pedalwright.solve.arrays import FloatArray

SILENT = 1e-9
FALL_DB = 3.0103
FINE = 33
"""points between the two of the grid that hold the corner"""


def measure(desk: Desk) -> Measured:
    """Of all chips' first repeats the brightest."""
    found = [_corner_hz(desk, chip) for chip in range(len(desk.loop.chips))]
    known = [hz for hz in found if hz is not None]
    if not known:
        raise NotKnown("The first repeat has no treble corner within hearing.")
    return Measured(value=max(known), basis=f"first repeat, 3 dB below 1 kHz, small signal, {STANDING}")


def _corner_hz(desk: Desk, chip: int) -> float | None:
    """Where one chip's first repeat is last within 3 dB of its level at 1 kHz; None for none."""
    loop = desk.loop
    level = _level_db(loop.b[:, chip] * loop.c[:, chip])
    bound = level[loop.at(MIDDLE_HZ)] - FALL_DB
    within = np.flatnonzero(level >= bound)
    if level.max() < 20 * np.log10(SILENT) or within[-1] == len(level) - 1:
        return None
    grid = np.geomspace(loop.frequency_hz[within[-1]], loop.frequency_hz[within[-1] + 1], FINE)
    fine = loop_of(desk.cut, loop.delays_s, loop.gains, grid)
    falling = -_level_db(fine.b[:, chip] * fine.c[:, chip])
    return float(np.interp(-bound, falling, grid))


def _level_db(gain: np.ndarray) -> FloatArray:
    return np.asarray(20 * np.log10(np.maximum(np.abs(gain), SILENT / 10)))


WANTED = WantedQuantity(
    name="wet.treble",
    title="treble corner of the first repeat",
    unit="Hz",
    says="where the first repeat is 3 dB below its level at 1 kHz, small signal",
    measure=measure,
)
