"""A circuit made linear around its rest point: G x + dC x/dt = drive, with every coefficient under its
name.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from pedalwright.solve.arrays import BoolArray, FloatArray, IndexArray, frozen, indices
from pedalwright.solve.banks import Bank
from pedalwright.solve.entry import Delay, Enters
from pedalwright.solve.equations import thermal_voltage
from pedalwright.solve.laws.law import Conditions, SmallTerm
from pedalwright.solve.modal import Modes, modes_of
from pedalwright.solve.reduce import ground_nets, idealise
from pedalwright.solve.rest import ROOM_K, OperatingPoint
from pedalwright.solve.stamps import Ports, Stamps, joined, matrix_scatter, ports_of
from pedalwright.solve.system import System, weights_of
from pedalwright.solve.variants import Variants

__all__ = ["SmallSignal", "ground_nets", "idealise", "linearise"]


@dataclass(frozen=True, kw_only=True, eq=False)
class SmallSignal:
    """The descriptor form G + s C (size, size each) of a circuit around a rest point, direct sources dead.

    `names` lists every value that enters: the linear values of the system, then the small-signal parameters
    of the nonlinear parts (``Q1/gm``, ``D1/gd``, ``U1a/gain``: volts or siemens per volt as the law says),
    with `values` and `stamps` in the same order. `delays` are not in G: a delayed copy's output stands still
    there.
    """

    system: System
    g: FloatArray
    c: FloatArray
    names: tuple[str, ...]
    owners: tuple[str, ...]
    kinds: IndexArray
    values: FloatArray
    stamps: Stamps
    delays: tuple[Delay, ...]
    is_turned: bool = False

    @property
    def size(self) -> int:
        """How many unknowns."""
        return self.system.size

    def row(self, net: str) -> int:
        """The row of a net, `size` for ground; KeyError for an unknown net."""
        return self.system.row(net)

    def element(self, name: str) -> int:
        """The place of a value in `names`; KeyError when there is none of that name."""
        return self._places[name]

    def parameter(self, name: str) -> float:
        """A linear value, or a small-signal parameter such as ``Q1/gm``; KeyError when there is none."""
        return float(self.values[self.element(name)])

    @cached_property
    def _places(self) -> Mapping[str, int]:
        return {name: place for place, name in enumerate(self.names)}

    @cached_property
    def weights(self) -> FloatArray:
        """The weight theta (elements,) of each value's stamp."""
        return np.asarray(weights_of(self.kinds, self.values[None])[0])

    @cached_property
    def reactive(self) -> IndexArray:
        """The values that enter C."""
        return np.flatnonzero(self.kinds > Enters.IN_G)

    @cached_property
    def ports(self) -> Ports:
        """The reactive values, those in parallel counted as one."""
        return ports_of(self.stamps.pick(self.reactive))

    @cached_property
    def alone(self) -> Variants:
        """The circuit as a set of variants with itself as the only one."""
        return Variants(g=self.g[None], c=self.c[None], weights=self.weights[None])

    def modes(self, shift: float) -> Modes:
        """The circuit factored at a real shift [1/s]; computed once for each shift.

        Raises numpy.linalg.LinAlgError when it cannot be.
        """
        if shift not in self._modes:
            self._modes[shift] = modes_of(self.ports, self.alone, self.weights[None, self.reactive], shift)
        return self._modes[shift]

    @cached_property
    def _modes(self) -> dict[float, Modes]:
        return {}

    @cached_property
    def turned(self) -> "SmallSignal":
        """The adjoint circuit: every matrix transposed, rows and columns of every stamp exchanged."""
        return replace(
            self, g=self.g.T, c=self.c.T, stamps=self.stamps.turned(), is_turned=not self.is_turned
        )

    def changed(self, changes: Mapping[str, FloatArray]) -> Variants:
        """The matrices with some values replaced by arrays (variants,); the rest point stays as it is.

        Raises KeyError for an unknown name.
        """
        count = max((len(np.atleast_1d(array)) for array in changes.values()), default=1)
        places = indices([self.element(name) for name in changes])
        values = np.repeat(self.values[None], count, axis=0)
        for place, array in zip(places, changes.values(), strict=True):
            values[:, place] = array
        weights = weights_of(self.kinds, values)
        moved = weights[:, places] - self.weights[places]
        in_c = self.kinds[places] > Enters.IN_G
        return Variants(
            g=self._moved(self.g, places[~in_c], moved[:, ~in_c]),
            c=self._moved(self.c, places[in_c], moved[:, in_c]),
            weights=weights,
        )

    def _moved(self, matrix: FloatArray, places: IndexArray, moved: FloatArray) -> FloatArray:
        found = np.repeat(matrix[None], len(moved), axis=0)
        scatter = matrix_scatter(self.stamps.pick(places), self.size)
        scatter.add(found.reshape(len(moved), -1), moved)
        return found

    def with_changes(self, changes: Mapping[str, float]) -> "SmallSignal":
        """The same circuit with some values replaced; the rest point stays as it is.

        KeyError for an unknown name.
        """
        new = self.changed({name: np.array([value]) for name, value in changes.items()})
        values = self.values.copy()
        for name, value in changes.items():
            values[self.element(name)] = value
        return replace(self, g=frozen(new.g[0]), c=frozen(new.c[0]), values=frozen(values))

    def without(self, names: Iterable[str]) -> "SmallSignal":
        """The same circuit with some primitives lifted off the board, by name or by owner.

        A source, inductance or amplifier carries no current then. KeyError for a name that nothing has.
        """
        wanted = set(names)
        parts = [part for part in self.system.primitives if wanted & {part.name, part.owner}]
        missing = wanted - {name for part in parts for name in (part.name, part.owner)}
        if missing:
            raise KeyError(min(missing))
        gone = {part.name for part in parts}
        dead = np.array([name.split("/")[0] in gone or name in gone for name in self.names], dtype=bool)
        g, c = self._lifted(self.g, dead, in_c=False), self._lifted(self.c, dead, in_c=True)
        for name in gone & set(self.system.branches):
            row = self.system.branches[name]
            g[row], c[row] = 0.0, 0.0
            g[row, row] = 1.0
        kept = np.flatnonzero(~dead)
        return replace(
            self,
            g=frozen(g),
            c=frozen(c),
            names=tuple(self.names[place] for place in kept),
            owners=tuple(self.owners[place] for place in kept),
            kinds=self.kinds[kept],
            values=self.values[kept],
            stamps=self.stamps.pick(kept),
            delays=tuple(delay for delay in self.delays if delay.name not in gone),
        )

    def _lifted(self, matrix: FloatArray, dead: BoolArray, *, in_c: bool) -> FloatArray:
        places = np.flatnonzero(dead & ((self.kinds > Enters.IN_G) == in_c))
        return np.asarray(self._moved(matrix, places, -self.weights[None, places])[0])


def linearise(
    system: System, rest: OperatingPoint | Mapping[str, float], *, temperature_k: float = ROOM_K
) -> SmallSignal:
    """The circuit made linear at a rest point, or at voltages of nets by name.

    The names are those of the primitives' own nets, so a reduced circuit (nets shorted to ground, parts taken
    out) may be made linear at the voltages of the whole one; `temperature_k` counts only then. Raises
    NotCertified for an uncertified rest point, KeyError when a nonlinear part's net has no voltage.
    """
    if isinstance(rest, OperatingPoint):
        conditions = rest.checked().conditions
        controls = _controls_at(system, rest)
    else:
        conditions = Conditions(thermal_v=thermal_voltage(temperature_k))
        controls = [bank.controls_from(rest) for bank in system.banks]
    g = system.conductances(system.values[None]) + system.signal_g
    parameters = []
    for bank, w in zip(system.banks, controls, strict=True):
        _, slopes = bank.law.evaluate(w, bank.parameters, conditions)
        matrix_scatter(bank.stamps(), system.size).add(g.reshape(1, -1), slopes.reshape(1, -1))
        parameters += [_parameters(bank, term, slopes) for term in bank.law.small]
    return _assembled(system, g[0], parameters)


def _controls_at(system: System, rest: OperatingPoint) -> list[FloatArray]:
    if rest.system is system:
        return [bank.controls(rest.x[None]) for bank in system.banks]
    return [bank.controls_from(rest.voltages) for bank in system.banks]


@dataclass(frozen=True, kw_only=True, eq=False)
class _Parameters:
    names: tuple[str, ...]
    owners: tuple[str, ...]
    kind: Enters
    values: FloatArray
    stamps: Stamps


def _parameters(bank: Bank, term: SmallTerm, slopes: FloatArray) -> _Parameters:
    """One named small-signal parameter of every part of a bank."""
    row_plus, row_minus = bank.pair(term.rows)
    column_plus, column_minus = bank.pair(term.columns)
    value = term.value(slopes)[0]
    return _Parameters(
        names=tuple(f"{name}/{term.suffix}" for name in bank.names),
        owners=tuple(part.owner for part in bank.parts),
        kind=Enters.MINUS_INVERSE_IN_G if term.inverse else Enters.IN_G,
        values=-1.0 / value if term.inverse else value,
        stamps=Stamps(
            row_plus=row_plus, row_minus=row_minus, column_plus=column_plus, column_minus=column_minus
        ),
    )


def _assembled(system: System, g: FloatArray, parameters: list[_Parameters]) -> SmallSignal:
    linear = np.flatnonzero(system.kinds != Enters.SOURCE)
    kinds = [system.kinds[linear], *(indices([int(p.kind)] * len(p.names)) for p in parameters)]
    return SmallSignal(
        system=system,
        g=frozen(g),
        c=frozen(system.derivatives(system.values[None])[0]),
        names=(*(system.names[place] for place in linear), *(name for p in parameters for name in p.names)),
        owners=(*(system.owners[place] for place in linear), *(own for p in parameters for own in p.owners)),
        kinds=np.concatenate(kinds),
        values=frozen(np.concatenate([system.values[linear], *(p.values for p in parameters)])),
        stamps=joined([system.stamps.pick(linear), *(p.stamps for p in parameters)]),
        delays=system.delays,
    )
