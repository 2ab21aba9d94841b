"""The unknowns of a linear circuit at many frequencies: by modes where they satisfy the equations, else
directly.
"""

from dataclasses import dataclass

import numpy as np

from pedalwright.solve.arrays import ComplexArray, FloatArray
from pedalwright.solve.certificate import ERROR_BOUND, RESIDUAL_BOUND, Certificate
from pedalwright.solve.direct import delayed, skeel_at, solve_all, solve_each_complex
from pedalwright.solve.linear import SmallSignal
from pedalwright.solve.modal import Modes, modes_of
from pedalwright.solve.variants import Variants

SAFE_ERROR = 0.1 * ERROR_BOUND
"""a modal answer whose residual times condition may be larger is improved by one correction"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Answer:
    """Unknowns `x` (size, frequencies) and how good they are; `residual_a` (frequencies,)."""

    x: ComplexArray
    residual_a: FloatArray
    condition: float
    method: str

    def certificate(self) -> Certificate:
        """The certificate of the worst frequency."""
        return Certificate(
            residual_a=float(self.residual_a.max(initial=0.0)),
            condition=self.condition,
            iterations=1,
            method=self.method,
        )


def answer(small: SmallSignal, b: ComplexArray, s: ComplexArray, *, delays: bool = True) -> Answer:
    """The answer to a drive `b` (size,) at complex frequencies `s` [1/s], delayed copies exact or standing
    still.
    """
    return _direct(small, b, s) if small.delays and delays else _fast(small, b, s)


def answer_many(
    small: SmallSignal, variants: Variants, b: ComplexArray, s: ComplexArray
) -> tuple[ComplexArray, FloatArray]:
    """Unknowns (variants, size, frequencies) and residuals (variants, frequencies) of many variants of a
    circuit.
    """
    try:
        modes = modes_of(small.ports, variants, variants.weights[:, small.reactive], shift_for(s))
        condition = modes.condition(variants, b[None, :, None], s)
        x, residual = _modal(small, modes, variants, b, s, condition)
    except np.linalg.LinAlgError:
        x = np.empty((variants.count, small.size, len(s)), dtype=np.complex128)
        residual = np.full((variants.count, len(s)), np.inf)
    for place in np.flatnonzero(~(residual <= RESIDUAL_BOUND).all(axis=1)):
        one = variants.take(np.array([place]))
        x[place] = solve_each_complex(one.g + s[:, None, None] * one.c, b).T
        remainder = one.remainder(x[place, None], s, b[:, None])
        residual[place] = one.misfit(x[place, None], remainder, s, b[:, None], small.system.node_count)[0]
    return x, residual


def shift_for(s: ComplexArray) -> float:
    """A real shift near the middle of the band, to a whole decade so that a circuit's modes are used
    again.
    """
    moving = np.abs(s[s != 0.0])
    return float(10.0 ** np.round(np.log10(moving).mean())) if len(moving) else 1.0


def _direct(small: SmallSignal, b: ComplexArray, s: ComplexArray, *, delays: bool = True) -> Answer:
    """One solution for each frequency."""
    x = solve_all(small, b, s, delays=delays)
    remainder = small.alone.remainder(x[None], s, b[:, None])
    if delays and small.delays:
        remainder -= np.einsum("fij,jf->if", delayed(small, s), x)[None]
    residual = small.alone.misfit(x[None], remainder, s, b[:, None], small.system.node_count)[0]
    condition = skeel_at(small, x, s, delays=delays)
    return Answer(x=x, residual_a=residual, condition=condition, method="direct solution at every frequency")


def _fast(small: SmallSignal, b: ComplexArray, s: ComplexArray) -> Answer:
    """By modes; at frequencies where that is not good enough, directly."""
    try:
        modes = small.modes(shift_for(s))
    except np.linalg.LinAlgError:
        return _direct(small, b, s, delays=False)
    condition = modes.condition(small.alone, b[None, :, None], s)
    x, residual = _modal(small, modes, small.alone, b, s, condition)
    # Equal poles, as of equal buffered stages, leave a modal answer less exact than the certificate asks for.
    poor = ~(residual[0] <= min(RESIDUAL_BOUND, ERROR_BOUND / condition))
    if not poor.any():
        return Answer(x=x[0], residual_a=residual[0], condition=condition, method="modes")
    again = _direct(small, b, s[poor], delays=False)
    x[0][:, poor], residual[0, poor] = again.x, again.residual_a
    return Answer(
        x=x[0],
        residual_a=residual[0],
        condition=again.condition if poor.all() else max(condition, again.condition),
        method=f"modes, {int(poor.sum())} of {len(s)} frequencies directly",
    )


def _modal(
    small: SmallSignal,
    modes: Modes,
    variants: Variants,
    b: ComplexArray,
    s: ComplexArray,
    condition: float,
) -> tuple[ComplexArray, FloatArray]:
    """Modal answers (variants, size, frequencies), corrected once if need be, and their residuals."""
    fine = min(RESIDUAL_BOUND, SAFE_ERROR / condition)
    drive, nodes = b[None, :, None], small.system.node_count
    with np.errstate(all="ignore"):
        x = modes.solve(drive, s)
        remainder = variants.remainder(x, s, drive)
        residual = variants.misfit(x, remainder, s, drive, nodes)
        if not (residual <= fine).all():
            x += modes.solve(remainder, s)
            remainder = variants.remainder(x, s, drive)
            residual = variants.misfit(x, remainder, s, drive, nodes)
    return x, residual
