"""Many versions of one circuit at rest: builds, knob positions, faults, each a change of the same equations.

A version differs by values (`changes`), by voltages put in series with amplifier inputs (`bias`) and by
conductances laid across two nets (`across`). All are solved together; each carries its own certificate.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from pedalwright.solve.arrays import BoolArray, FloatArray
from pedalwright.solve.certificate import ERROR_BOUND, RESIDUAL_BOUND
from pedalwright.solve.equations import Aid, Equations, equations
from pedalwright.solve.ladder import COLD, WARM, Settings, climb
from pedalwright.solve.newton import State
from pedalwright.solve.rest import BATCH_NUMBERS, ROOM_K
from pedalwright.solve.system import System

Across = tuple[tuple[int, int, int, float], ...]
"""(version, row, row, siemens): a conductance laid between two rows of one version; row `size` is ground"""
PATIENT = Settings()
BRIEF = Settings(steps_each=40, conductance_decades=10, source_steps=8, inertia_steps=30, steps_of_inertia=8)
"""for builds, faults and meters: a version that is hard to solve is left out rather than waited for"""


@dataclass(frozen=True, kw_only=True, eq=False)
class Versions:
    """What differs: `count` versions, `changes` by name of value, `bias` (count, size) or None, `across`."""

    count: int
    changes: Mapping[str, FloatArray] = field(default_factory=dict)
    bias: FloatArray | None = None
    across: Across = ()

    def some(self, start: int, stop: int) -> "Versions":
        """The versions from `start` up to `stop`."""
        return Versions(
            count=stop - start,
            changes={name: array[start:stop] for name, array in self.changes.items()},
            bias=None if self.bias is None else self.bias[start:stop],
            across=tuple((v - start, a, b, s) for v, a, b, s in self.across if start <= v < stop),
        )

    def loaded(self, row: int, siemens: float) -> "Versions":
        """The same versions with a conductance from one row to ground in every one of them."""
        return replace(self, across=(*self.across, *((v, row, -1, siemens) for v in range(self.count))))


@dataclass(frozen=True, kw_only=True, eq=False)
class Population:
    """The versions solved: `x` (count, size + 1) and which are certified, `ok` (count,)."""

    system: System
    versions: Versions
    x: FloatArray
    ok: BoolArray

    def volts(self, net: str) -> FloatArray:
        """The voltage of a net in every version (count,) [V]; nan where not certified."""
        return np.where(self.ok, self.x[:, self.system.row(net)], np.nan)

    @cached_property
    def slopes(self) -> tuple[tuple[int, FloatArray], ...]:
        """Blocks of Jacobians at the solutions: (first version, (versions, size, size))."""
        return tuple(
            (at, _jacobian(batch, self.x[at : at + batch.count]))
            for at, batch in _batches(self.system, self.versions)
        )


def solve(system: System, versions: Versions, start: FloatArray, settings: Settings = PATIENT) -> Population:
    """All versions, each from `start` (size + 1,) first and from nothing when that fails."""
    found, fine = [], []
    for _, batch in _batches(system, versions):
        x = np.repeat(start[None], batch.count, axis=0)
        state = State(x=x, w=batch.controls(x), settled=np.zeros(batch.count, dtype=bool))
        solved = climb(batch, state, (WARM, *COLD), settings)
        found.append(solved.state.x)
        fine.append((solved.residual_a <= RESIDUAL_BOUND) & (solved.correction <= ERROR_BOUND))
    return Population(system=system, versions=versions, x=np.concatenate(found), ok=np.concatenate(fine))


def _batches(system: System, versions: Versions) -> Iterator[tuple[int, Equations]]:
    block = max(1, BATCH_NUMBERS // (system.size + 1) ** 2)
    for at in range(0, versions.count, block):
        yield at, _equations(system, versions.some(at, min(at + block, versions.count)))


def _equations(system: System, some: Versions) -> Equations:
    # A name must be there for the equations to know how many versions there are.
    counted = some.changes or {system.names[0]: np.full(some.count, system.values[0])}
    batch = equations(system, counted, ROOM_K)
    if some.bias is not None:
        batch = replace(batch, b=batch.b + some.bias)
    if some.across:
        batch = replace(batch, g=batch.g + _laid(system.size, some))
    return batch


def _laid(size: int, some: Versions) -> FloatArray:
    extra = np.zeros((some.count, size + 1, size + 1))
    version, a, b = (np.array(column) for column in list(zip(*some.across, strict=True))[:3])
    siemens = np.array([one[3] for one in some.across])
    a, b = np.where(a < 0, size, a), np.where(b < 0, size, b)
    for rows, columns, sign in ((a, a, 1.0), (b, b, 1.0), (a, b, -1.0), (b, a, -1.0)):
        np.add.at(extra, (version, rows, columns), sign * siemens)
    return extra[:, :size, :size]


def _jacobian(batch: Equations, x: FloatArray) -> FloatArray:
    with np.errstate(all="ignore"):
        _, jacobian = batch.evaluate(x, batch.controls(x), Aid())
    return jacobian
