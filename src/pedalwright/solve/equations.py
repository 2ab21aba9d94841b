"""The equations of many variants of one circuit at rest: their residuals and slopes, with the solver's aids.

The current law of every net and the equation of every branch read G x + nonlinear(x) = b. A nonlinear part is
evaluated at its own, possibly limited, controls `w` and followed along its tangent from there to the controls
that `x` gives, so a limited step is still a step of the whole circuit.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from pedalwright.circuit.primitives import VoltageSource
from pedalwright.solve.arrays import FloatArray, IndexArray
from pedalwright.solve.certificate import magnitudes
from pedalwright.solve.laws.law import Conditions
from pedalwright.solve.system import System

STILL = 1e-6
"""Voltages (V) and branch currents (A) below this are as good as none."""

Controls = tuple[FloatArray, ...]
"""The controls (variants, parts, controls) of each bank."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Aid:
    """What the solver adds to the equations for a while.

    Conductance from every net to ground, sources turned down, and inertia: `pull` times the distance from
    `anchor` (variants, size + 1).
    """

    conductance_s: float = 0.0
    source_scale: float = 1.0
    pull: float = 0.0
    anchor: FloatArray | None = None

    def take(self, chosen: IndexArray) -> "Aid":
        """The same aid for some of the variants."""
        return self if self.anchor is None else replace(self, anchor=self.anchor[chosen])


@dataclass(frozen=True, kw_only=True, eq=False)
class Equations:
    """The equations of `count` variants. `g` (variants, size, size), `b` (variants, size)."""

    system: System
    g: FloatArray
    b: FloatArray
    parameters: tuple[Mapping[str, FloatArray], ...]
    conditions: Conditions
    inertia: FloatArray
    """(size, size): where `pull` acts: on every net, and on every amplifier's output as its pole"""

    @property
    def count(self) -> int:
        """How many variants."""
        return len(self.g)

    def take(self, chosen: IndexArray) -> "Equations":
        """Some of the variants."""
        return replace(self, g=self.g[chosen], b=self.b[chosen], parameters=_taken(self.parameters, chosen))

    def with_gain_cap(self, gain_cap: float) -> "Equations":
        """The same equations with the amplifiers' gain limited."""
        return replace(self, conditions=replace(self.conditions, gain_cap=gain_cap))

    def straightened(self) -> "Equations":
        """The same equations with amplifiers that have no rails."""
        return replace(self, conditions=replace(self.conditions, straight=True))

    def controls(self, x: FloatArray) -> Controls:
        """The controls that the unknowns `x` (variants, size + 1) give."""
        return tuple(bank.controls(x) for bank in self.system.banks)

    def start(self) -> Controls:
        """Where the laws like to be evaluated first."""
        first = []
        for bank, p in zip(self.system.banks, self.parameters, strict=True):
            start = bank.law.start(p, self.conditions)
            first.append(np.broadcast_to(start, (self.count, *start.shape[-2:])).copy())
        return tuple(first)

    def limited(self, new: Controls, old: Controls) -> Controls:
        """The controls to evaluate at after a step from `old` towards `new`."""
        triples = zip(self.system.banks, new, old, self.parameters, strict=True)
        return tuple(bank.law.limit(n, o, p, self.conditions) for bank, n, o, p in triples)

    def evaluate(self, x: FloatArray, w: Controls, aid: Aid) -> tuple[FloatArray, FloatArray]:
        """Residual (variants, size) and Jacobian (variants, size, size) at `x`, the laws evaluated at `w`."""
        currents, slopes = self._laws(x, w)
        residual = self._residual(x, currents, aid)
        jacobian = self.g.copy()
        self.system.scatter_slopes.add(jacobian.reshape(self.count, -1), slopes)
        self._aid(jacobian, residual, x[:, : self.system.size], aid)
        return residual, jacobian

    def residual(self, x: FloatArray) -> FloatArray:
        """The residual (variants, size) at `x` of the equations as they stand."""
        currents, _ = self._laws(x, self.controls(x))
        return self._residual(x, currents, Aid())

    def _laws(self, x: FloatArray, w: Controls) -> tuple[FloatArray, FloatArray]:
        """The outputs of all laws at `x`, along their tangents at `w`, and their slopes; flattened and
        joined.
        """
        currents, slopes = [np.zeros((self.count, 0))], [np.zeros((self.count, 0))]
        for bank, at, p in zip(self.system.banks, w, self.parameters, strict=True):
            i, g = bank.law.evaluate(at, p, self.conditions)
            i = i + np.matmul(g, (bank.controls(x) - at)[..., None])[..., 0]
            currents.append((i * bank.polarity[:, None]).reshape(self.count, -1))
            slopes.append(g.reshape(self.count, -1))
        return np.concatenate(currents, axis=1), np.concatenate(slopes, axis=1)

    def _residual(self, x: FloatArray, currents: FloatArray, aid: Aid) -> FloatArray:
        unknowns = x[:, : self.system.size, None]
        residual = np.matmul(self.g, unknowns)[..., 0] - aid.source_scale * self.b
        self.system.scatter_currents.add(residual, currents)
        return np.asarray(residual)

    def _aid(self, jacobian: FloatArray, residual: FloatArray, unknowns: FloatArray, aid: Aid) -> None:
        nodes = self.system.node_count
        if aid.conductance_s:
            jacobian[:, range(nodes), range(nodes)] += aid.conductance_s
            residual[:, :nodes] += aid.conductance_s * unknowns[:, :nodes]
        if aid.pull and aid.anchor is not None:
            jacobian += aid.pull * self.inertia
            residual += aid.pull * ((unknowns - aid.anchor[:, : self.system.size]) @ self.inertia.T)

    def polished(self, x: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        """One last step from `x`, of the equations as they stand.

        Gives the new unknowns (variants, size + 1), their relative residuals (variants,), and the size of the
        step relative to the largest voltage (variants,), which is far more than the error it leaves.
        """
        size, nodes = self.system.size, self.system.node_count
        before, jacobian = self.evaluate(x, self.controls(x), Aid())
        step = solve_each(jacobian, before)
        found = x.copy()
        found[:, :size] -= step
        unknowns = found[:, :size]
        residual = self.residual(found)
        sizes = magnitudes(unknowns, nodes, still=STILL)
        terms = np.matmul(np.abs(jacobian), sizes[..., None])[..., 0] + np.abs(self.b)
        relative = np.abs(residual) / np.maximum(terms, 1e-300)
        moved = np.abs(step[:, :nodes] * self.system.firm[:nodes]).max(axis=1, initial=0.0)
        scale = np.maximum(np.abs(unknowns[:, :nodes]).max(axis=1, initial=0.0), 1e-3)
        return found, relative.max(axis=1, initial=0.0), moved / scale


def _taken(
    parameters: tuple[Mapping[str, FloatArray], ...], chosen: IndexArray
) -> tuple[Mapping[str, FloatArray], ...]:
    return tuple({key: a[chosen] if a.ndim == 2 else a for key, a in bank.items()} for bank in parameters)


def equations(system: System, changes: Mapping[str, FloatArray], temperature_k: float) -> Equations:
    """The equations of `system` for all variants named in `changes` (see System.changed)."""
    linear = {name: array for name, array in changes.items() if name in system.names}
    parameters, others = _overridden(system, {k: a for k, a in changes.items() if k not in linear})
    values = system.changed(linear)
    count = max(len(values), others)
    values = np.repeat(values, count, axis=0) if len(values) < count else values
    return Equations(
        system=system,
        g=system.conductances(values) + system.rest_g,
        b=system.drives(values),
        parameters=parameters,
        conditions=Conditions(thermal_v=thermal_voltage(temperature_k), supply_guess_v=_supply(system)),
        inertia=_inertia(system),
    )


def _overridden(
    system: System, changes: Mapping[str, FloatArray]
) -> tuple[tuple[Mapping[str, FloatArray], ...], int]:
    """The banks' parameters with ``NAME.parameter`` replaced; KeyError for what no bank has."""
    left = dict(changes)
    count = max((len(np.atleast_1d(array)) for array in left.values()), default=1)
    banks = []
    for bank in system.banks:
        parameters = dict(bank.parameters)
        for place, name in enumerate(bank.names):
            for key in [key for key in parameters if f"{name}.{key}" in left]:
                table = np.array(np.broadcast_to(parameters[key], (count, len(bank.names))))
                table[:, place] = left.pop(f"{name}.{key}")
                parameters[key] = table
        banks.append(parameters)
    if left:
        raise KeyError(next(iter(left)))
    return tuple(banks), count


def thermal_voltage(temperature_k: float) -> float:
    """kT/q [V] at an absolute temperature [K], from the exact constants of the SI (2019)."""
    return 1.380649e-23 * temperature_k / 1.602176634e-19


def _supply(system: System) -> float:
    volts = [abs(part.dc_v) for part in system.primitives if isinstance(part, VoltageSource)]
    return max(volts, default=0.0) or 9.0


NET_INERTIA = 1e-10
"""of a net, beside 1 of an amplifier: the nets must follow much faster, as they do in life"""


def _inertia(system: System) -> FloatArray:
    matrix = np.zeros((system.size, system.size))
    matrix[range(system.node_count), range(system.node_count)] = NET_INERTIA
    for bank in system.banks:
        if "output" in bank.terminals:
            rows = bank.terminals["branch"]
            live = rows < system.size
            matrix[rows[live], bank.terminals["output"][live]] = -1.0
    return matrix


def solve_each(matrices: FloatArray, vectors: FloatArray) -> FloatArray:
    """The solutions (variants, size); a singular variant's is all nan."""
    with np.errstate(all="ignore"):
        try:
            return np.asarray(np.linalg.solve(matrices, vectors[..., None])[..., 0], dtype=np.float64)
        except np.linalg.LinAlgError:
            return np.stack([_solve_one(a, b) for a, b in zip(matrices, vectors, strict=True)])


def _solve_one(matrix: FloatArray, vector: FloatArray) -> FloatArray:
    try:
        return np.asarray(np.linalg.solve(matrix, vector), dtype=np.float64)
    except np.linalg.LinAlgError:
        return np.full_like(vector, np.nan)
