"""A circuit solved by elimination whose order is planned once and carried out for many circuits and many
frequencies together.

The order follows Markowitz (fewest new entries), among pivots that are not small in their row; only entries
that can be other than zero are touched. Drives are written as columns and picked voltages as rows around the
circuit's matrix, so that what is left in the corner when every unknown is gone is the answer itself.
"""

from dataclasses import dataclass

import numpy as np

from pedalwright.solve.arrays import BoolArray, ComplexArray, FloatArray, IndexArray, indices
from pedalwright.solve.linear import SmallSignal

PIVOT_SHARE = 0.02
"""a pivot is at least this part of the largest entry of its row, in the circuit as planned"""
PLANNED_HZ = (3.0, 80.0, 1e3, 8e3, 6e4)
BATCH = 6000
"""how many circuits times frequencies are worked on at once: what stays in a processor's near memory"""


@dataclass(frozen=True, slots=True, eq=False)
class _Step:
    """One pivot: the slots of its row and column, and those the product of the two is taken from."""

    pivot: int
    column: int
    row_slots: IndexArray
    row_columns: IndexArray
    column_slots: IndexArray
    targets: IndexArray


@dataclass(frozen=True, kw_only=True, eq=False)
class Elimination:
    """The plan for one circuit's pattern with its border; `size` unknowns, `drives` columns, `picks` rows."""

    size: int
    rows: IndexArray
    columns: IndexArray
    """the circuit's own places, slot by slot"""
    border: FloatArray
    """what the slots of the border hold at the beginning; zero for all others"""
    steps: tuple[_Step, ...]
    corner: IndexArray
    """slots (picks, drives)"""

    def gains(self, g: FloatArray, c: FloatArray, s: ComplexArray) -> ComplexArray:
        """Picked values per drive (variants, frequencies, picks, drives).

        `g` and `c` (variants, size, size) are circuits of the planned pattern, `s` (frequencies,) the complex
        frequencies [1/s]. Where the plan meets a pivot of nothing the answer is nan.
        """
        count = len(g)
        found = np.empty((count, len(s), *self.corner.shape), dtype=np.complex128)
        block = max(1, BATCH // max(1, len(s)))
        for at in range(0, count, block):
            piece = slice(at, at + block)
            done = self._worked(g[piece], c[piece], s)[self.corner]
            shape = (*self.corner.shape, len(g[piece]), len(s))
            found[piece] = np.moveaxis(done.reshape(shape), (0, 1), (2, 3))
        return found

    def unknowns(self, g: FloatArray, c: FloatArray, s: ComplexArray) -> ComplexArray:
        """Every unknown of one circuit `g`, `c` (size, size) per drive: (drives, size, frequencies)."""
        values = self._worked(g[None], c[None], s)
        drives = self.corner.shape[1]
        # The border's columns count as unknowns that are known: minus one for the drive itself.
        x = np.zeros((self.size + drives, drives, len(s)), dtype=np.complex128)
        x[self.size + np.arange(drives), np.arange(drives)] = -1.0
        with np.errstate(all="ignore"):
            for step in reversed(self.steps):
                taken = values[step.row_slots][:, None] * x[step.row_columns]
                x[step.column] = -taken.sum(axis=0) / values[step.pivot]
        return np.swapaxes(x[: self.size], 0, 1)

    def _worked(self, g: FloatArray, c: FloatArray, s: ComplexArray) -> ComplexArray:
        """All slots after the last step: (slots, variants times frequencies)."""
        count = len(g) * len(s)
        values = np.zeros((len(self.border), count), dtype=np.complex128)
        own = len(self.rows)
        still, moving = g[:, self.rows, self.columns].T, c[:, self.rows, self.columns].T
        values[:own] = (still[:, :, None] + moving[:, :, None] * s).reshape(own, count)
        values[own:] = self.border[own:, None]
        with np.errstate(all="ignore"):
            for step in self.steps:
                share = values[step.column_slots] / values[step.pivot]
                product = share[:, None] * values[step.row_slots]
                values[step.targets] -= product.reshape(-1, count)
        return values


def plan(small: SmallSignal, drives: FloatArray, picks: FloatArray) -> Elimination:
    """The plan for a circuit with `drives` (size, columns) of amperes and `picks` (rows, size) of voltages.

    The corner is then picks @ inverse @ drives. Raises numpy.linalg.LinAlgError for a singular circuit.
    """
    size, count = small.size, drives.shape[1]
    pattern = np.zeros((size + len(picks), size + count), dtype=bool)
    pattern[:size, :size] = _pattern(small)
    pattern[:size, size:], pattern[size:, :size] = drives != 0, picks != 0
    sample = np.zeros((len(PLANNED_HZ), *pattern.shape), dtype=np.complex128)
    sample[:, :size, :size] = small.g + 2j * np.pi * np.array(PLANNED_HZ)[:, None, None] * small.c
    sample[:, :size, size:], sample[:, size:, :size] = drives, -picks
    return _Planner(size, pattern, sample).plan()


def _pattern(small: SmallSignal) -> BoolArray:
    """Every place a value can stand in, whatever the values are."""
    found = np.zeros((small.size + 1, small.size + 1), dtype=bool)
    found[:-1, :-1] = (small.g != 0) | (small.c != 0)
    stamps = small.stamps
    for rows in (stamps.row_plus, stamps.row_minus):
        for columns in (stamps.column_plus, stamps.column_minus):
            found[rows, columns] = True
    return found[:-1, :-1]


class _Planner:
    """Chooses the pivots on sample values and writes the steps down."""

    def __init__(self, size: int, pattern: BoolArray, sample: ComplexArray) -> None:
        self.size, self.pattern, self.sample = size, pattern, sample
        self.start = pattern.copy()
        self.first = sample.copy()
        self.order: list[tuple[int, int]] = []

    def plan(self) -> Elimination:
        filled = self.pattern.copy()
        live_rows, live_columns = np.ones(self.size, dtype=bool), np.ones(self.size, dtype=bool)
        for _ in range(self.size):
            row, column = self._best(live_rows, live_columns)
            self._eliminate(row, column, live_rows)
            live_rows[row] = live_columns[column] = False
            filled |= self.pattern
            self.order.append((row, column))
        return self._written(filled)

    def _best(self, live_rows: BoolArray, live_columns: BoolArray) -> tuple[int, int]:
        rows, columns = np.flatnonzero(live_rows), np.flatnonzero(live_columns)
        size = np.abs(self.sample[:, rows][:, :, columns])
        with np.errstate(all="ignore"):
            share = (size / size.max(axis=2, keepdims=True)).min(axis=0)
        pattern = self.pattern[: self.size, : self.size][rows][:, columns]
        inside = self.pattern[rows].sum(axis=1) - 1
        across = self.pattern[:, columns][self._below(live_rows)].sum(axis=0) - 1
        cost = (inside[:, None] * across[None, :]).astype(float)
        cost[~(pattern & (share >= PIVOT_SHARE))] = np.inf
        if not np.isfinite(cost).any():
            raise np.linalg.LinAlgError("no pivot is left: the circuit is singular")
        # Among equals the largest in its row.
        row, column = np.unravel_index(int(np.argmin(cost - 0.5 * np.nan_to_num(share))), cost.shape)
        return int(rows[row]), int(columns[column])

    def _below(self, live_rows: BoolArray) -> BoolArray:
        more = len(self.pattern) - self.size
        return np.concatenate([live_rows, np.ones(more, dtype=bool)])

    def _eliminate(self, row: int, column: int, live_rows: BoolArray) -> None:
        others = np.flatnonzero(self.pattern[:, column] & self._below(live_rows))
        others = others[others != row]
        across = np.flatnonzero(self.pattern[row])
        share = self.sample[:, others, column] / self.sample[:, row, column][:, None]
        self.sample[:, others[:, None], across] -= share[:, :, None] * self.sample[:, row, across][:, None]
        self.pattern[others[:, None], across] = True
        self.pattern[others, column] = False
        self.sample[:, others, column] = 0.0
        # A column that is done no longer counts in any row that is left.

    def _written(self, filled: BoolArray) -> Elimination:
        own = self.start.copy()
        own[self.size :], own[:, self.size :] = False, False
        more = (filled | self.start) & ~own
        more[self.size :, self.size :] = True
        places = np.concatenate([np.argwhere(own), np.argwhere(more)])
        slots = np.full(filled.shape, -1, dtype=np.int64)
        slots[places[:, 0], places[:, 1]] = np.arange(len(places))
        border = np.zeros(len(places))
        edge = (places[:, 0] >= self.size) | (places[:, 1] >= self.size)
        border[edge] = self.first[0, places[edge, 0], places[edge, 1]].real
        return Elimination(
            size=self.size,
            rows=indices(places[: int(own.sum()), 0].tolist()),
            columns=indices(places[: int(own.sum()), 1].tolist()),
            border=border,
            steps=tuple(self._steps(slots)),
            corner=slots[self.size :, self.size :],
        )

    def _steps(self, slots: IndexArray) -> list[_Step]:
        pattern = self.start.copy()
        live = np.ones(len(pattern), dtype=bool)
        steps = []
        for row, column in self.order:
            others = np.flatnonzero(pattern[:, column] & live)
            others = others[others != row]
            across = np.flatnonzero(pattern[row])
            across = across[across != column]
            pattern[others[:, None], across] = True
            pattern[others, column] = False
            live[row] = False
            steps.append(
                _Step(
                    pivot=int(slots[row, column]),
                    column=column,
                    row_slots=slots[row, across],
                    row_columns=across,
                    column_slots=slots[others, column],
                    targets=slots[others[:, None], across].reshape(-1),
                )
            )
        return steps
