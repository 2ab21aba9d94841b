"""How near a loop of several delays is to howling whatever its delays are: the structured bound.

For delays that may have any phase, A is safe at a frequency while mu(A) < 1, and mu lies between the largest
spectral radius that phases on the delays can make and the smallest norm that scaling the delays can make:
rho(U A) <= mu <= sigma(S A S^-1). The two agree for up to three delays. Source: Doyle, "Analysis of feedback
systems with structured uncertainties", IEE Proc. D 129, 1982 (from memory).
"""

from dataclasses import dataclass

import numpy as np

from pedalwright.echo.repeats import perron
from pedalwright.solve.arrays import ComplexArray, FloatArray

PHASES = 49
ROUNDS = 40
TINY = 1e-300
POWER_ROUNDS = 16
TINY_SHARE = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bound:
    """Bounds of mu at each frequency (...,): proved from above, reached by some phases from below.

    `signless` is the spectral radius of |A|: cheap, safe, exact where all ways have one sign.
    """

    upper: FloatArray
    lower: FloatArray
    signless: FloatArray


def bound(a: ComplexArray) -> Bound:
    """The bounds for matrices (..., N, N)."""
    signless = perron(np.abs(a))
    upper = np.minimum(upper_bound(a), signless)
    return Bound(upper=upper, lower=np.minimum(lower_bound(a), upper), signless=signless)


def upper_bound(a: ComplexArray) -> FloatArray:
    """The norm of the best scaling found (...,); exact for one and two delays, safe for any number."""
    size = a.shape[-1]
    if size == 1:
        return np.asarray(np.abs(a[..., 0, 0]))
    return _two(a) if size == 2 else _norm(_scaled(a))


def quick_bound(a: ComplexArray) -> FloatArray:
    """A bound from above (...,) that costs little: exact for one and two delays, for more that of |A| alone.

    For any x > 0 the spectral radius of |A| is at most the largest (|A| x)/x (Collatz, 1942; from memory);
    x comes from a few rounds of the power method.
    """
    if a.shape[-1] < 3:
        return upper_bound(a)
    sizes = np.moveaxis(np.abs(a), (-2, -1), (0, 1))
    x = np.ones(sizes.shape[1:])
    for _ in range(POWER_ROUNDS):
        # Half of x is kept: ways that lead round in a ring would else swing for ever.
        x = 0.5 * x / x.max(axis=0) + (sizes * x).sum(axis=1)
        x = x / x.max(axis=0) + TINY_SHARE
    return np.asarray(((sizes * x).sum(axis=1) / x).max(axis=0))


def _scaled(a: ComplexArray) -> ComplexArray:
    """A scaled so that its norm is as small as was found."""
    return _descended(_balanced(a))


def _two(a: ComplexArray) -> FloatArray:
    """Two delays: scaled so that both ways across are alike, which is where the norm is least."""
    across = np.abs(a[..., 0, 1] * a[..., 1, 0])
    total = np.abs(a[..., 0, 0]) ** 2 + np.abs(a[..., 1, 1]) ** 2 + 2 * across
    determinant = np.abs(a[..., 0, 0] * a[..., 1, 1] - a[..., 0, 1] * a[..., 1, 0])
    inside = np.maximum(total**2 - 4 * determinant**2, 0.0)
    return np.asarray(np.sqrt(0.5 * (total + np.sqrt(inside))))


def _norm(a: ComplexArray) -> FloatArray:
    return np.asarray(np.linalg.svd(a, compute_uv=False)[..., 0])


def _balanced(a: ComplexArray) -> ComplexArray:
    """Scaled so that what leads to each delay is as much as what leads from it (Osborne, 1960; from
    memory).
    """
    found = a.copy()
    off = ~np.eye(a.shape[-1], dtype=bool)
    for _ in range(ROUNDS):
        for place in range(a.shape[-1]):
            power = np.abs(found) ** 2 * off
            into, out = power[..., place, :].sum(-1), power[..., :, place].sum(-1)
            factor = ((out + TINY) / (into + TINY)) ** 0.25
            factor = np.clip(factor, 1e-3, 1e3)
            found[..., place, :] *= factor[..., None]
            found[..., :, place] /= factor[..., None]
    return found


def _descended(a: ComplexArray) -> ComplexArray:
    """The scaling moved downhill: the slope of the largest singular value with each delay's scale is the
    difference of the squares of its two singular vectors there.
    """
    best, step = a.copy(), np.full(a.shape[:-2], 0.5)
    norm = _norm(best)
    for _ in range(ROUNDS):
        left, _, right = np.linalg.svd(best)
        slope = np.abs(left[..., :, 0]) ** 2 - np.abs(right[..., 0, :]) ** 2
        factor = np.exp(-step[..., None] * slope)
        tried = best * factor[..., :, None] / factor[..., None, :]
        value = _norm(tried)
        better = value < norm
        best = np.where(better[..., None, None], tried, best)
        norm = np.where(better, value, norm)
        step = np.where(better, step * 1.3, step * 0.5)
    return best


def lower_bound(a: ComplexArray) -> FloatArray:
    """The largest spectral radius that phases on the delays were found to make (...,).

    Begun with the phases that turn the strongest output of the scaled matrix into its own input, which is
    where the two bounds meet if they do; then every delay's phase is tried all round, and finely.
    """
    size = a.shape[-1]
    if size == 1:
        return np.asarray(np.abs(a[..., 0, 0]))
    left, _, right = np.linalg.svd(_scaled(a))
    turn = np.conj(right[..., 0, :]) / np.where(np.abs(left[..., :, 0]) > TINY, left[..., :, 0], 1.0)
    turn = np.where(np.abs(turn) > TINY, turn / np.maximum(np.abs(turn), TINY), 1.0)
    turned = a * turn[..., :, None]
    for phases in (_around(PHASES, np.pi), _around(33, 2 * np.pi / PHASES)):
        for place in range(1, size):
            turned = _best_phase(turned, place, phases)
    return _radius(turned)


def _around(count: int, reach: float) -> ComplexArray:
    """Phases to both sides of none."""
    return np.asarray(np.exp(1j * np.linspace(-reach, reach, count)))


def _best_phase(a: ComplexArray, place: int, phases: ComplexArray) -> ComplexArray:
    tried = np.repeat(a[None], len(phases), axis=0)
    tried[..., place, :] *= phases.reshape((-1,) + (1,) * (a.ndim - 1))
    chosen = np.argmax(_radius(tried), axis=0)
    return np.asarray(np.take_along_axis(tried, chosen[None, ..., None, None], axis=0)[0])


def _radius(a: ComplexArray) -> FloatArray:
    if a.shape[-1] == 2:
        middle = 0.5 * (a[..., 0, 0] + a[..., 1, 1])
        root = np.sqrt(middle**2 - (a[..., 0, 0] * a[..., 1, 1] - a[..., 0, 1] * a[..., 1, 0]))
        return np.asarray(np.maximum(np.abs(middle + root), np.abs(middle - root)))
    return np.asarray(np.abs(np.linalg.eigvals(a)).max(axis=-1))
