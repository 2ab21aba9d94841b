"""How well an answer satisfies the equations it is meant to satisfy, and the refusal to hand out what does
not.
"""

from dataclasses import dataclass

import numpy as np

from pedalwright.solve.arrays import AnyArray, FloatArray

QUIET = 1e-6
"""part of the largest voltage below which a voltage counts as standing still; so with currents"""

RESIDUAL_BOUND = 1e-9
"""largest current-law residual of a certified answer, relative to the magnitudes of the terms it is the sum
of"""
ERROR_BOUND = 1e-6
"""largest relative error of a certified answer: house figure, six honest digits where four are printed"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Certificate:
    """What is known about the quality of an answer.

    `residual_a`: largest residual of the current law (and of the source equations) of the equations as they
    stand, without any stepping aid; each relative to the sum of the magnitudes of its own terms
    (Oettli-Prager backward error). `condition`: estimate of how much a relative error in the equations is
    magnified in the answer (Skeel's number, which does not depend on units). `iterations`: solutions of the
    linearised equations used. `method`: how the answer was reached. `bound`: the relative error itself, where
    it was bounded equation by equation. `beyond`: why the answer is outside what the devices' models hold
    for, though it satisfies their equations; empty where it is not.
    """

    residual_a: float
    condition: float
    iterations: int
    method: str
    bound: float | None = None
    beyond: str = ""

    @property
    def error(self) -> float:
        """Estimated bound on the relative error of the answer: `bound`, or else residual times condition."""
        return self.residual_a * self.condition if self.bound is None else self.bound

    @property
    def ok(self) -> bool:
        """Whether the answer may be printed. False for anything that is not a number."""
        return not self.beyond and self.residual_a <= RESIDUAL_BOUND and self.error <= ERROR_BOUND

    def says(self) -> str:
        """One sentence for a reader."""
        quality = f"residual {self.residual_a:.1e}, condition {self.condition:.1e}, by {self.method}"
        if self.beyond:
            return f"not certified: {self.beyond}"
        return f"certified ({quality})" if self.ok else f"not certified ({quality})"


def magnitudes(x: AnyArray, nodes: int, still: float = 0.0) -> FloatArray:
    """The magnitudes of unknowns (..., size) as residuals are measured by.

    Voltages (the first `nodes`) and currents each count as no smaller than QUIET of the largest, nor than
    `still` volts or amperes: a net that stands still carries rounding errors only.
    """
    found = np.maximum(np.abs(x), still)
    for part in (found[..., :nodes], found[..., nodes:]):
        if part.shape[-1]:
            np.maximum(part, QUIET * part.max(axis=-1, keepdims=True), out=part)
    return found


class NotCertified(Exception):
    """The answer is not known well enough to be printed; carries the certificate that says why."""

    def __init__(self, certificate: Certificate) -> None:
        super().__init__(certificate.says())
        self.certificate = certificate
