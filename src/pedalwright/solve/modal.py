"""The response of a linear circuit at every frequency from one factorisation and one small eigenproblem.

With C = P D Q^T over the reactive values only, and A0 = G + s0 C factored at one real s0,
(A0 + sigma C)^-1 b = x0 - sigma A0^-1 P D (1 + sigma K)^-1 Q^T x0, where sigma = s - s0, x0 = A0^-1 b and
K = Q^T A0^-1 P D: the Woodbury identity. K, as large as there are reactive values, is brought to its
eigenvectors, and what remains for each frequency is a sum of one-pole terms. Nothing here is believed: the
caller checks every residual.
"""

from dataclasses import dataclass

import numpy as np

from pedalwright.solve.arrays import ComplexArray, FloatArray
from pedalwright.solve.stamps import Ports
from pedalwright.solve.variants import Variants, times

UNDAMPED = 0.01
"""largest |Re p|/|Im p| of a pole counted as nearly undamped: a Q above fifty"""


@dataclass(frozen=True, kw_only=True, eq=False)
class Modes:
    """The factored circuit, for `variants` sets of values at once.

    `inverse` (variants, size, size) of A0; `poles` (variants, ports): eigenvalues of K; `shapes` (variants,
    size, ports): what each mode does to the unknowns; `pickup` (variants, ports, size): how much a drive
    excites each.
    """

    shift: float
    inverse: FloatArray
    poles: ComplexArray
    shapes: ComplexArray
    pickup: ComplexArray

    def solve(self, b: ComplexArray, s: ComplexArray) -> ComplexArray:
        """The unknowns (variants, size, frequencies) for drives `b` (variants or 1, size, frequencies or
        1).
        """
        sigma = s - self.shift
        share = np.matmul(self.pickup, b) * sigma
        share /= 1.0 + sigma * self.poles[:, :, None]
        found = np.matmul(self.shapes, share)
        return np.subtract(times(self.inverse, b), found, out=found)

    def condition(self, variants: Variants, b: ComplexArray, s: ComplexArray) -> float:
        """An estimate of the condition at the frequencies `s`, the largest of all variants.

        Skeel's number at the shift, times the largest |s|/|s - p| over the nearly undamped poles p: beside
        such a pole the last digits of its place decide.
        """
        x = np.abs(times(self.inverse, b))
        matrix = np.abs(variants.g + self.shift * variants.c)
        spread = np.matmul(np.abs(self.inverse), np.matmul(matrix, x)).max(axis=(1, 2), initial=0.0)
        ratio = spread / np.maximum(x.max(axis=(1, 2), initial=0.0), 1e-300)
        worst = float(ratio.max(initial=1.0)) * self._resonance(s)
        return worst if np.isfinite(worst) else float("inf")

    def _resonance(self, s: ComplexArray) -> float:
        with np.errstate(all="ignore"):
            poles = self.shift - 1.0 / self.poles
            ringing = poles[np.abs(poles.real) < UNDAMPED * np.abs(poles.imag)]
            if not len(ringing):
                return 1.0
            return float((np.abs(s) / np.abs(s[:, None] - ringing).min(axis=1)).max(initial=1.0))


def modes_of(ports: Ports, variants: Variants, weights: FloatArray, shift: float) -> Modes:
    """Factor the circuits; `weights` (variants, reactive) are those of the values in C.

    Raises numpy.linalg.LinAlgError when a matrix is singular or an eigenproblem does not converge.
    """
    count, size = variants.count, variants.size
    at = ports.stamps
    padded = np.zeros((count, size + 1, size + 1))
    padded[:, :size, :size] = np.linalg.inv(variants.g + shift * variants.c)
    # Splitting each weight evenly between the two sides makes K symmetric for passive circuits.
    strength = weights @ ports.gathers
    root = np.sqrt(np.abs(strength))
    driven = (padded[:, :, at.row_plus] - padded[:, :, at.row_minus]) * (np.sign(strength) * root)[:, None]
    coupling = (driven[:, at.column_plus] - driven[:, at.column_minus]) * root[:, :, None]
    poles, vectors = np.linalg.eig(coupling)
    seen = (padded[:, at.column_plus, :size] - padded[:, at.column_minus, :size]) * root[:, :, None]
    pickup = np.linalg.solve(vectors, seen.astype(vectors.dtype))
    return Modes(
        shift=shift,
        inverse=np.ascontiguousarray(padded[:, :size, :size]),
        poles=poles.astype(np.complex128),
        shapes=np.matmul(driven[:, :size], vectors).astype(np.complex128),
        pickup=pickup.astype(np.complex128),
    )
