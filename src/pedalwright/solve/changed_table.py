"""The full circuit with one part changed: exact, without solving it again, by a low-rank update of the
band's table.
"""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from pedalwright.solve.band import Band
from pedalwright.solve.entry import Enters

ComplexArray = NDArray[np.complex128]


class ChangedTable:
    """Reads entries of the table of a circuit in which some linear values differ (Woodbury, 1950).

    `changes` maps element names to new values. The rest point is taken as unmoved.
    """

    def __init__(self, band: Band, changes: Mapping[str, float]) -> None:
        self._table = band.table
        small = band.small
        places = [small.element(name) for name in changes]
        stamps = small.stamps
        shift = _shifts(band, places, list(changes.values()))
        left = self._table[:, :, stamps.row_plus[places]] - self._table[:, :, stamps.row_minus[places]]
        right = self._table[:, stamps.column_plus[places]] - self._table[:, stamps.column_minus[places]]
        across = left[:, stamps.column_plus[places]] - left[:, stamps.column_minus[places]]
        core = np.eye(len(places)) + shift[:, :, None] * across
        self._left = left
        self._right = np.linalg.solve(core, shift[:, :, None] * right)

    def at(self, rows: list[int], columns: list[int]) -> ComplexArray:
        """Entries of the changed table: shape (frequencies, rows, columns)."""
        old = self._table[:, rows][:, :, columns]
        return np.asarray(old - self._left[:, rows] @ self._right[:, :, columns])


def _shifts(band: Band, places: list[int], values: list[float]) -> ComplexArray:
    """How much each element's stamp grows, at each frequency: shape (frequencies, elements)."""
    small = band.small
    names = [small.names[place] for place in places]
    new = small.changed({name: np.array([value]) for name, value in zip(names, values, strict=True)})
    moved = new.weights[0, places] - small.weights[places]
    reactive = small.kinds[places] > Enters.IN_G
    return np.where(reactive, band.s[:, None] * moved, moved + 0j)
