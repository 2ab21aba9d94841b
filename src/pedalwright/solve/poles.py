"""Poles, zeros and natural modes: where a linear circuit answers without being asked, and where it stays
silent.
"""

from dataclasses import dataclass

import numpy as np

from pedalwright.solve.arrays import BoolArray, ComplexArray, FloatArray
from pedalwright.solve.linear import SmallSignal
from pedalwright.solve.response import Drive, drive_vector

SHIFTS = (1e2, 1e4, 1e6)
"""real shifts [1/s] at which the eigenproblem is tried, first one that is not singular"""
INFINITE = 1e-13
"""eigenvalues this much smaller than the largest belong to poles at infinity"""
REFINEMENTS = 8


@dataclass(frozen=True, kw_only=True, eq=False)
class Roots:
    """Finite roots [1/s], by rising magnitude, and how many of the `of` possible ones lie at infinity.

    `of` is the rank that C could have at most (its number of independent columns); what is not finite is
    infinite. `refined` says for each root whether it satisfied its own equation to rounding.
    """

    finite: ComplexArray
    infinite: int
    refined: BoolArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Mode:
    """One natural mode: a real pole (`q` None) or a pair. `frequency_hz` is |p|/(2 pi); `q` = |p|/(-2 Re p).

    A mode with Re p > 0 grows: `stable` is False and `q` negative.
    """

    frequency_hz: float
    q: float | None
    pole: complex

    @property
    def stable(self) -> bool:
        """Whether the mode dies away."""
        return self.pole.real < 0.0


def poles(small: SmallSignal) -> Roots:
    """The poles of a circuit, delayed copies standing still: det(G + p C) = 0."""
    return roots_of(small.g, small.c)


def zeros(small: SmallSignal, drive: Drive, output: str) -> Roots:
    """The zeros of the voltage at `output`: where it stays zero although the circuit is driven.

    Raises KeyError for an unknown source or net.
    """
    size = small.size
    b = drive_vector(small, drive).real
    g, c = np.zeros((size + 1, size + 1)), np.zeros((size + 1, size + 1))
    g[:size, :size], c[:size, :size] = small.g, small.c
    g[:size, size] = -b
    if small.row(output) < size:
        g[size, small.row(output)] = 1.0
    return roots_of(g, c)


def natural_modes(small: SmallSignal) -> tuple[Mode, ...]:
    """The modes of the finite poles, by rising frequency; of a pair only the pole with Im p > 0 is kept."""
    found = []
    for pole in poles(small).finite:
        value = complex(pole)
        if value.imag < 0.0:
            continue
        size = abs(value)
        q = None
        if value.imag > 0.0:
            q = size / (-2.0 * value.real) if value.real else float("inf")
        found.append(Mode(frequency_hz=size / (2.0 * np.pi), q=q, pole=value))
    return tuple(found)


def roots_of(g: FloatArray, c: FloatArray) -> Roots:
    """All p with det(G + p C) = 0, from (G + s0 C)^-1 C restricted to the columns of C, each then refined.

    No roots, all counted infinite, when G + s C is singular for every s tried.
    """
    columns = np.flatnonzero(np.abs(c).sum(axis=0) > 0.0)
    nothing = Roots(
        finite=np.zeros(0, dtype=np.complex128), infinite=len(columns), refined=np.zeros(0, dtype=bool)
    )
    for shift in SHIFTS:
        try:
            solved = np.linalg.solve(g + shift * c, c[:, columns])[columns]
            break
        except np.linalg.LinAlgError:
            continue
    else:
        return nothing
    if not len(columns) or not np.isfinite(solved).all():
        return nothing
    values = np.linalg.eigvals(solved)
    large = np.abs(values) > INFINITE * np.abs(values).max(initial=0.0)
    rough = shift - 1.0 / values[large].astype(np.complex128)
    refined = [_refine(g, c, complex(p), _room(rough, place)) for place, p in enumerate(rough)]
    order = np.argsort([abs(p) for p, _ in refined], kind="stable")
    return Roots(
        finite=np.array([refined[place][0] for place in order], dtype=np.complex128),
        infinite=len(columns) - len(refined),
        refined=np.array([refined[place][1] for place in order], dtype=bool),
    )


def _room(rough: ComplexArray, place: int) -> float:
    """How far a root may move while refined: not near another one, so that no two become one."""
    others = np.abs(np.delete(rough, place) - rough[place])
    return float(min(0.1 * abs(rough[place]), 0.3 * others.min(initial=np.inf)))


def _refine(g: FloatArray, c: FloatArray, guess: complex, room: float) -> tuple[complex, bool]:
    """Two-sided Rayleigh quotient iteration from a guess, real guesses kept real; kept only while it stays
    near.
    """
    p = complex(guess.real, 0.0) if abs(guess.imag) <= 1e-9 * abs(guess) else guess
    rng = np.random.default_rng(1)
    right = rng.standard_normal(len(g)).astype(np.complex128)
    left = rng.standard_normal(len(g)).astype(np.complex128)
    step = complex(np.inf)
    for _ in range(REFINEMENTS):
        a = g + p * c
        try:
            right, left = _unit(_solved(a, c @ right)), _unit(_solved(a.T, c.T @ left))
        except np.linalg.LinAlgError:
            return p, True
        with np.errstate(all="ignore"):
            step = complex((left @ (a @ right)) / (left @ (c @ right)))
        if not abs(p - step - guess) <= room:
            return guess, False
        p -= step
        if abs(step) <= 1e-14 * abs(p):
            break
    return p, bool(abs(step) <= 1e-9 * abs(p))


def _unit(vector: ComplexArray) -> ComplexArray:
    return np.asarray(vector / np.linalg.norm(vector), dtype=np.complex128)


def _solved(a: ComplexArray, b: ComplexArray) -> ComplexArray:
    return np.asarray(np.linalg.solve(a, b), dtype=np.complex128)
