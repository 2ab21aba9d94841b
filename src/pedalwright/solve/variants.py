"""One or many sets of matrices of the same circuit, and the check that any answer to them must pass."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pedalwright.solve.arrays import ComplexArray, FloatArray, IndexArray
from pedalwright.solve.certificate import QUIET


@dataclass(frozen=True, kw_only=True, eq=False)
class Variants:
    """Matrices `g`, `c` (variants, size, size) and stamp `weights` (variants, elements).

    Answers are held unknowns first, (variants, size, frequencies), so that a real matrix times complex
    answers is one real product.
    """

    g: FloatArray
    c: FloatArray
    weights: FloatArray

    @property
    def count(self) -> int:
        """How many variants."""
        return len(self.g)

    @property
    def size(self) -> int:
        """How many unknowns."""
        return int(self.g.shape[1])

    def take(self, chosen: slice | IndexArray) -> "Variants":
        """Some of the variants."""
        return Variants(g=self.g[chosen], c=self.c[chosen], weights=self.weights[chosen])

    @cached_property
    def stacked(self) -> FloatArray:
        """G above C (variants, 2 size, size)."""
        return np.concatenate([self.g, self.c], axis=1)

    @cached_property
    def stacked_sizes(self) -> FloatArray:
        """The magnitudes of `stacked`."""
        return np.abs(self.stacked)

    def remainder(self, x: ComplexArray, s: ComplexArray, b: ComplexArray) -> ComplexArray:
        """What `x` (variants, size, frequencies) leaves of the drives `b` (.., size, 1): b - (G + s C) x."""
        both = times(self.stacked, x)
        left = both[:, self.size :]
        left *= s
        left += both[:, : self.size]
        return np.subtract(b, left, out=left)

    def misfit(
        self, x: ComplexArray, remainder: ComplexArray, s: ComplexArray, b: ComplexArray, nodes: int
    ) -> FloatArray:
        """The largest relative residual (variants, frequencies); what is not a number counts as infinite.

        Each equation's residual is relative to the sum of the magnitudes of its terms, where no voltage (the
        first `nodes` unknowns) counts as smaller than QUIET of the largest voltage, and so with currents: a
        net that stands still carries rounding errors only. Magnitudes are bounded from their real and
        imaginary parts on the safe side.
        """
        sizes = _at_least(x)
        for part in (sizes[:, :nodes], sizes[:, nodes:]):
            if part.shape[1]:
                np.maximum(part, QUIET * part.max(axis=1, keepdims=True), out=part)
        both = np.matmul(self.stacked_sizes, sizes)
        terms = both[:, self.size :]
        terms *= np.abs(s)
        terms += both[:, : self.size]
        terms += np.abs(b) + 1e-300
        worst = (_at_most(remainder) / terms).max(axis=1, initial=0.0)
        return np.where(np.isfinite(worst), worst, np.inf)


def times(matrix: FloatArray, x: ComplexArray) -> ComplexArray:
    """A real matrix (variants, rows, size) times complex answers (variants, size, frequencies)."""
    pairs = np.ascontiguousarray(x).view(np.float64)
    return np.asarray(np.matmul(matrix, pairs).view(np.complex128))


def _at_least(x: ComplexArray) -> FloatArray:
    """A lower bound of the magnitude, at most a factor sqrt2 too small."""
    pairs = np.abs(np.ascontiguousarray(x).view(np.float64))
    return np.maximum(pairs[..., ::2], pairs[..., 1::2])


def _at_most(x: ComplexArray) -> FloatArray:
    """An upper bound of the magnitude, at most a factor sqrt2 too large."""
    pairs = np.abs(x.view(np.float64))
    return np.asarray(pairs[..., ::2] + pairs[..., 1::2])
