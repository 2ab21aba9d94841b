"""What a stage presents to the stage before it, and what stands behind its output, as built."""

from collections.abc import Collection

import numpy as np

from pedalwright.analysis.levels import REFERENCE_HZ
from pedalwright.solve.band import Band
from pedalwright.solve.gains import exciting_column
from pedalwright.stages.stage import Transfer

VERY_HIGH_OHMS = 1e9
"""above this a pin is taken to draw no signal current"""


def input_ohms(band: Band, net: str, owners: Collection[str]) -> float | None:
    """Magnitude of the impedance that some parts together present at a net, at the reference frequency.

    `owners` are designators of parts and sections. None when they draw no signal current there.
    """
    place = int(np.argmin(np.abs(band.frequency_hz - REFERENCE_HZ)))
    volts = band.table[place, :, exciting_column(band, net)]
    row = band.row(net)
    drawn = _current_out_of(band, row, owners, volts, complex(band.s[place]))
    if abs(drawn) * VERY_HIGH_OHMS < abs(volts[row]) or not np.isfinite(drawn):
        return None
    return float(abs(volts[row] / drawn)) if abs(volts[row]) > 0 else None


def _current_out_of(band: Band, row: int, owners: Collection[str], volts: np.ndarray, s: complex) -> complex:
    """Signal current that flows from a net into some parts, in amperes."""
    small = band.small
    stamps = small.stamps
    wanted = np.array([owner in owners for owner in small.owners], dtype=bool)
    reactive = np.zeros(len(small.names), dtype=bool)
    reactive[small.reactive] = True
    across = volts[stamps.column_plus] - volts[stamps.column_minus]
    current = small.weights * np.where(reactive, s, 1.0) * across
    sign = (stamps.row_plus == row) * 1.0 - (stamps.row_minus == row) * 1.0
    return complex(np.sum((current * sign)[wanted]))


def behind_output_ohms(transfer: Transfer | None) -> float | None:
    """Magnitude of the closed form's output impedance at the reference frequency; None for a stiff output."""
    if transfer is None or transfer.output_ohms is None:
        return None
    return float(abs(transfer.output_ohms(np.array([2j * np.pi * REFERENCE_HZ]))[0]))
