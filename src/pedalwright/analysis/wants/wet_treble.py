"""How dark the first repeat is."""

import numpy as np

from pedalwright.analysis.wants._box import STANDING
from pedalwright.analysis.wants._record import Desk, Measured, NotKnown, WantedQuantity
from pedalwright.echo.loop import MIDDLE_HZ
from pedalwright.solve.corners import find_corners

SILENT = 1e-9


def measure(desk: Desk) -> Measured:
    """Of all chips' first repeats the brightest."""
    loop = desk.loop
    once = loop.b * loop.c
    found = [
        find_corners(loop.frequency_hz, once[:, chip], MIDDLE_HZ)
        for chip in range(once.shape[1])
        if np.abs(once[:, chip]).max() > SILENT
    ]
    known = [one.high_hz for one in found if one is not None and one.high_hz is not None]
    if not known:
        raise NotKnown("The first repeat has no treble corner within hearing.")
    return Measured(value=max(known), basis=f"first repeat, 3 dB below 1 kHz, small signal, {STANDING}")


WANTED = WantedQuantity(
    name="wet.treble",
    title="treble corner of the first repeat",
    unit="Hz",
    says="where the first repeat is 3 dB below its level at 1 kHz, small signal",
    measure=measure,
)
