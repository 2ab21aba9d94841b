"""The full circuit over the audio band: every net's answer to a current into every net, exactly, at some
frequencies.

With this one table every question about gains between nets, impedances and the change of one part is a few
multiplications: superposition for gains, the rank-one formula of Sherman and Morrison (1950) for changes.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from pedalwright.solve.certificate import RESIDUAL_BOUND
from pedalwright.solve.linear import SmallSignal

ComplexArray = NDArray[np.complex128]
FloatArray = NDArray[np.float64]

LOWEST_HZ, HIGHEST_HZ, POINTS = 1.0, 500_000.0, 49
"""a little over eight points a decade: corners are then found to a fraction of a per cent by interpolation"""
STILL = 1e-6


def band_hz() -> FloatArray:
    """The frequencies of the table in hertz, evenly spaced by ratio."""
    return np.geomspace(LOWEST_HZ, HIGHEST_HZ, POINTS)


@dataclass(frozen=True, eq=False)
class Band:
    """The inverse of the circuit's matrix, shape (frequencies, unknowns + 1, unknowns + 1); the last row is
    ground.
    """

    small: SmallSignal
    frequency_hz: FloatArray

    @cached_property
    def s(self) -> ComplexArray:
        """Complex frequencies in rad/s."""
        return (2j * np.pi * self.frequency_hz).astype(np.complex128, copy=False)

    @cached_property
    def _matrix(self) -> ComplexArray:
        return self.small.g + self.s[:, None, None] * self.small.c

    @cached_property
    def table(self) -> ComplexArray:
        """Volts on each net (rows) for one ampere into each net (columns)."""
        rows, columns = _balance(self._matrix)
        inverse = np.linalg.inv(self._matrix * rows[:, :, None] * columns[:, None, :])
        inverse = inverse * columns[:, :, None] * rows[:, None, :]
        return np.pad(inverse, ((0, 0), (0, 1), (0, 1)))

    @cached_property
    def residual(self) -> float:
        """The largest misfit of the table relative to the terms it is the sum of, over all frequencies and
        columns.

        A net that ought to stand still moves by rounding alone; it is measured against a millionth of the
        column's largest.
        """
        inner = self.table[:, :-1, :-1]
        product = self._matrix @ inner
        scale = np.abs(self._matrix) @ np.abs(inner)
        wanted = np.eye(inner.shape[1])
        largest = np.abs(inner).max(1, keepdims=True) * np.abs(self._matrix).sum(2)[:, :, None]
        size = scale + wanted + STILL * largest
        return float(np.max(np.abs(product - wanted) / size))

    @property
    def ok(self) -> bool:
        """True when the table satisfies the equations within the solver's own bound."""
        return bool(np.isfinite(self.residual) and self.residual <= RESIDUAL_BOUND)

    @property
    def condition(self) -> float:
        """One-norm condition estimate, the largest over the band."""
        inner = self.table[:, :-1, :-1]
        return float(np.max(np.abs(self._matrix).sum(1).max(1) * np.abs(inner).sum(1).max(1)))

    def row(self, net: str) -> int:
        """The row of a net, the last one for ground."""
        return self.small.row(net)

    def knows(self, *nets: str) -> bool:
        """True when something of the circuit is on every one of these nets."""
        return all(net in self.small.system.rows for net in nets)

    def between(self, nets: Sequence[str], into: Sequence[str]) -> ComplexArray:
        """Volts on `nets` for one ampere into each of `into`: shape (frequencies, nets, into)."""
        rows, columns = [self.row(net) for net in nets], [self.row(net) for net in into]
        return self.table[:, rows][:, :, columns]

    def impedance(self, net: str) -> ComplexArray:
        """Impedance in ohms looking into a net against ground."""
        return self.table[:, self.row(net), self.row(net)]

    def source_column(self, name: str) -> ComplexArray:
        """All voltages for one volt of a named voltage source: shape (frequencies, unknowns + 1). KeyError
        if unknown.
        """
        return self.table[:, :, self.small.system.branches[name]]


def _balance(matrix: ComplexArray) -> tuple[FloatArray, FloatArray]:
    """Factors for rows and columns that bring every largest entry to one: units then cost no digits."""
    size = np.abs(matrix)
    rows = 1.0 / np.where((largest := size.max(2)) > 0, largest, 1.0)
    columns = 1.0 / np.where((tallest := (size * rows[:, :, None]).max(1)) > 0, tallest, 1.0)
    return rows, columns
