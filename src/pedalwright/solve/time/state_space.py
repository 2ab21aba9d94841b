"""The linear circuit as a state space of the least size: dz/dt = A z + B e, p = C z + D e.

The capacitances and inductances are gathered into ports and enter as L W R^T. At a real shift s0 the inverse
M = (G + s0 L W R^T)^-1 exists, and the weighted voltages y of the ports obey Z (dy/dt - s0 y) = R^T M
(drives) - y with Z = R^T M L W. An ordered Schur form splits Z into modes that take part (eigenvalue mu, pole
s0 - 1/mu) and modes so fast that they follow at once (mu near zero: loops of capacitors, capacitors across
sources). Each port counts with the root of its weight, so y squared is energy and passive circuits give
symmetric, well-behaved matrices. Nothing is made discrete here. Splitting of descriptor systems: Verghese,
Levy and Kailath, IEEE Trans. AC-26, 1981 (from memory).
"""

from dataclasses import dataclass

import numpy as np
from scipy.linalg import schur, solve_sylvester

from pedalwright.solve.arrays import ComplexArray, FloatArray
from pedalwright.solve.linear import SmallSignal
from pedalwright.solve.stamps import Stamps

SHIFT = 2.0 * np.pi * 700.0
"""s0 [1/s]: amid the audio band; its choice moves only the rounding"""


@dataclass(frozen=True, kw_only=True, eq=False)
class StateSpace:
    """A (n, n), B (n, drives), C (picks, n), D (picks, drives).

    `entry` (n, ports) turns what stands across the reactive ports (volts across capacitors, amperes through
    coils) into states, `leaving` (ports, n) states into that.
    """

    a: FloatArray
    b: FloatArray
    c: FloatArray
    d: FloatArray
    entry: FloatArray
    leaving: FloatArray
    is_modal: bool = False
    """whether A couples states by neighbouring pairs at most: real modes, and pairs of swinging ones; slow
    modes first"""

    @property
    def size(self) -> int:
        """How many states."""
        return len(self.a)

    def gains(self, frequency_hz: FloatArray) -> ComplexArray:
        """p over e (frequencies, picks, drives)."""
        s = 2j * np.pi * np.asarray(frequency_hz, dtype=float)
        inner = np.linalg.solve(s[:, None, None] * np.eye(self.size) - self.a, self.b[None].astype(complex))
        return np.asarray(self.c @ inner + self.d)


def state_space(small: SmallSignal, drives: FloatArray, picks: FloatArray, least_s: float) -> StateSpace:
    """The state space from `drives` (size, drives) to `picks` (picks, size).

    Modes faster than the time `least_s` follow at once. Raises numpy.linalg.LinAlgError for a circuit that
    cannot be solved.
    """
    at, size = small.ports.stamps, small.size
    inverse = np.zeros((size + 1, size + 1))
    inverse[:size, :size] = np.linalg.inv(small.g + SHIFT * small.c)
    weights = small.weights[small.reactive] @ small.ports.gathers
    root = np.sqrt(np.abs(weights))
    pushed = (inverse[:, at.row_plus] - inverse[:, at.row_minus]) * (np.sign(weights) * root)
    answers = np.vstack([inverse[:size, :size] @ drives, np.zeros((1, drives.shape[1]))])
    seen, direct = picks @ pushed[:size], picks @ answers[:size]
    excited = across(answers, at) * root[:, None]
    split = _split(across(pushed, at) * root[:, None], least_s)
    entered, count = split.into @ excited, len(split.core)
    rates = np.linalg.solve(split.core, np.hstack([np.eye(count), entered]))
    told = seen @ split.slow
    return StateSpace(
        a=SHIFT * np.eye(count) - rates[:, :count],
        b=np.asarray(rates[:, count:], dtype=np.float64),
        c=told @ rates[:, :count],
        d=direct - told @ rates[:, count:] + SHIFT * (seen @ split.fast) @ (split.into_fast @ excited),
        entry=split.into * root,
        leaving=split.slow / root[:, None],
    )


def across(rows: FloatArray, at: Stamps) -> FloatArray:
    """The differences (ports, ...) that the ports see of a table (size + 1, ...); its last row is ground."""
    return np.asarray(rows[at.column_plus] - rows[at.column_minus])


@dataclass(frozen=True, kw_only=True, eq=False)
class _Split:
    """Z = slow core into + fast (...) into_fast, the two parts not touching each other."""

    core: FloatArray
    slow: FloatArray
    into: FloatArray
    fast: FloatArray
    into_fast: FloatArray


def _split(coupling: FloatArray, least_s: float) -> _Split:
    """The modes slower than `least_s` and the others; of the others, `into_fast` is what they settle at."""
    if not len(coupling):
        nothing = np.zeros((0, 0))
        return _Split(core=nothing, slow=nothing, into=nothing, fast=nothing, into_fast=nothing)
    form, basis, count = schur(
        coupling, output="real", sort=lambda real, imaginary: bool(np.hypot(real, imaginary) > least_s)
    )
    core, rest = form[:count, :count], form[count:, count:]
    slow, others = basis[:, :count], basis[:, count:]
    tilt = (
        solve_sylvester(core, -rest, -form[:count, count:])
        if 0 < count < len(form)
        else (np.zeros((count, len(form) - count)))
    )
    settled = np.linalg.solve(np.eye(len(rest)) - SHIFT * rest, others.T)
    return _Split(
        core=core, slow=slow, into=slow.T - tilt @ others.T, fast=slow @ tilt + others, into_fast=settled
    )
