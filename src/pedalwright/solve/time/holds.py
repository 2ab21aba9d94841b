"""One step of a state space made exact for inputs that are polynomials over the step.

With e(theta h) = c0 + c1 theta + c2 theta^2 + ... over a step of h, the states after it are Phi z + Gamma0 c0
+ Gamma1 c1 + ..., Gamma_k = h * integral of exp(A h (1 - x)) x^k dx * B. All come from one matrix exponential
of a larger matrix (Van Loan, IEEE Trans. AC-23, 1978, from memory).
"""

from dataclasses import dataclass
from math import comb

import numpy as np
from scipy.linalg import expm

from pedalwright.solve.arrays import FloatArray


@dataclass(frozen=True, kw_only=True, eq=False)
class Hold:
    """`phi` (n, n); `gammas` (orders, n, drives): what c0, c1, ... add."""

    step_s: float
    phi: FloatArray
    gammas: FloatArray

    def doubled(self) -> "Hold":
        """The hold of a step twice as long: the first half of each polynomial, then the second."""
        gammas = np.empty_like(self.gammas)
        for k in range(len(gammas)):
            second = sum(comb(k, j) * self.gammas[j] for j in range(k + 1))
            gammas[k] = (self.phi @ self.gammas[k] + second) / 2.0**k
        return Hold(step_s=2.0 * self.step_s, phi=self.phi @ self.phi, gammas=gammas)


def hold(a: FloatArray, b: FloatArray, step_s: float, orders: int) -> Hold:
    """The step of dz/dt = A z + B e for inputs of `orders` polynomial terms each."""
    count, drives = b.shape
    chain = np.zeros((count + orders * drives, count + orders * drives))
    chain[:count, :count] = a * step_s
    chain[:count, count : count + drives] = b * step_s
    for order in range(orders - 1):
        top = count + order * drives
        chain[top : top + drives, top + drives : top + 2 * drives] = np.eye(drives)
    whole = expm(chain)
    blocks = [whole[:count, count + k * drives : count + (k + 1) * drives] for k in range(orders)]
    # The chain integrates x^k / k!, the polynomial has x^k.
    factorials = np.cumprod([1.0, *range(1, orders)])
    return Hold(
        step_s=step_s,
        phi=whole[:count, :count],
        gammas=np.array([block * factor for block, factor in zip(blocks, factorials, strict=True)]),
    )
