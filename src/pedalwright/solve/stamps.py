"""Rank-one contributions to a matrix: theta (e_p - e_q)(e_r - e_s)^T, many at once.

Every linear value and every small-signal parameter of a circuit enters its matrix in this form, which is also
what the adjoint sensitivities and the exact single-change update need. The index `size` stands for ground:
what falls there is left out.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pedalwright.solve.arrays import BoolArray, FloatArray, IndexArray, indices


@dataclass(frozen=True, kw_only=True, eq=False)
class Stamps:
    """Where `count` rank-one terms go: rows `row_plus` - `row_minus`, columns `column_plus` -
    `column_minus`.
    """

    row_plus: IndexArray
    row_minus: IndexArray
    column_plus: IndexArray
    column_minus: IndexArray

    @property
    def count(self) -> int:
        """How many terms there are."""
        return len(self.row_plus)

    def pick(self, chosen: IndexArray) -> "Stamps":
        """Some of the terms, in the order given."""
        return Stamps(
            row_plus=self.row_plus[chosen],
            row_minus=self.row_minus[chosen],
            column_plus=self.column_plus[chosen],
            column_minus=self.column_minus[chosen],
        )

    def turned(self) -> "Stamps":
        """Rows and columns exchanged: the terms of the transposed matrix."""
        return Stamps(
            row_plus=self.column_plus,
            row_minus=self.column_minus,
            column_plus=self.row_plus,
            column_minus=self.row_minus,
        )


def joined(parts: Sequence[Stamps]) -> Stamps:
    """Several lists of terms as one."""
    nothing = indices([])
    return Stamps(
        row_plus=np.concatenate([nothing, *(part.row_plus for part in parts)]),
        row_minus=np.concatenate([nothing, *(part.row_minus for part in parts)]),
        column_plus=np.concatenate([nothing, *(part.column_plus for part in parts)]),
        column_minus=np.concatenate([nothing, *(part.column_minus for part in parts)]),
    )


@dataclass(frozen=True, kw_only=True, eq=False)
class Scatter:
    """A precompiled sum of signed weights into the places of a flat array."""

    places: IndexArray
    starts: IndexArray
    sources: IndexArray
    signs: FloatArray

    def add(self, target: FloatArray, weights: FloatArray) -> None:
        """Add `weights` (variants, count) into `target` (variants, places), in place."""
        if len(self.places):
            terms = weights[:, self.sources] * self.signs
            target[:, self.places] += np.add.reduceat(terms, self.starts, axis=1)


def _scatter(places: IndexArray, sources: IndexArray, signs: FloatArray, keep: BoolArray) -> Scatter:
    kept = np.flatnonzero(keep)
    order = kept[np.argsort(places[kept], kind="stable")]
    found, starts = np.unique(places[order], return_index=True)
    return Scatter(places=found, starts=starts.astype(np.int64), sources=sources[order], signs=signs[order])


def matrix_scatter(stamps: Stamps, size: int) -> Scatter:
    """The scatter of weighted `stamps` into a flattened (size, size) matrix."""
    count = np.arange(stamps.count)
    corners = [
        (stamps.row_plus, stamps.column_plus, 1.0),
        (stamps.row_plus, stamps.column_minus, -1.0),
        (stamps.row_minus, stamps.column_plus, -1.0),
        (stamps.row_minus, stamps.column_minus, 1.0),
    ]
    rows = np.concatenate([row for row, _, _ in corners])
    columns = np.concatenate([column for _, column, _ in corners])
    signs = np.repeat([sign for _, _, sign in corners], stamps.count)
    inside = (rows < size) & (columns < size)
    return _scatter(rows * size + columns, np.tile(count, 4), signs, inside)


def vector_scatter(plus: IndexArray, minus: IndexArray, size: int) -> Scatter:
    """The scatter of weights, + at `plus` and - at `minus`, into a vector of `size`."""
    count = np.arange(len(plus))
    rows = np.concatenate([plus, minus])
    signs = np.repeat([1.0, -1.0], len(plus))
    return _scatter(rows, np.tile(count, 2), signs, rows < size)


@dataclass(frozen=True, kw_only=True, eq=False)
class Ports:
    """Terms that go to the same places counted as one.

    `gathers` (terms, ports) is 1 where a term belongs to a port.
    """

    stamps: Stamps
    gathers: FloatArray

    @property
    def count(self) -> int:
        """How many ports."""
        return self.stamps.count


def ports_of(stamps: Stamps) -> Ports:
    """The ports of a list of terms."""
    columns = (stamps.row_plus, stamps.row_minus, stamps.column_plus, stamps.column_minus)
    known: dict[tuple[int, ...], int] = {}
    group = [
        known.setdefault(place, len(known)) for place in zip(*(c.tolist() for c in columns), strict=True)
    ]
    gathers = np.zeros((stamps.count, len(known)))
    gathers[np.arange(stamps.count), group] = 1.0
    return Ports(
        stamps=stamps.pick(indices([group.index(port) for port in range(len(known))])), gathers=gathers
    )
