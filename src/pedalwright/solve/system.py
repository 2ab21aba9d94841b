"""A list of primitives compiled to numbered equations, ready to be solved many times with many values.

Unknowns are the voltages of the nets (shorts merged, ground left out) and one current for each voltage
source, inductance, amplifier, regulator and delay; that current flows from the plus or output net into the
part, except a regulator's, which flows out of its output. An amplifier's output is held against ground; its
current is not charged to its supply nets. The modified nodal method: Ho, Ruehli and Brennan, IEEE Trans.
CAS-22, 1975.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pedalwright.circuit.primitives import Inductance, Primitive
from pedalwright.solve.arrays import BoolArray, FloatArray, IndexArray, frozen, indices
from pedalwright.solve.banks import Bank, gather
from pedalwright.solve.entry import FACTOR, POWER, Delay, Enters, Entries
from pedalwright.solve.merging import floating_nets
from pedalwright.solve.stamps import Scatter, Stamps, joined, matrix_scatter, vector_scatter

TIE_S = 1e-12
"""conductance to ground given to each net that no direct current can reach, so that it has a voltage at
all"""

WINDING_OHMS = 1e-9
"""of every inductance at rest: next to a short, but inductances in a loop still share a definite current"""


@dataclass(frozen=True, kw_only=True, eq=False)
class System:
    """The equations of a circuit. `size` unknowns, the first `node_count` of them voltages; row `size` is
    ground.

    `names`, `kinds`, `values` and `stamps` list every linear value in the order of the primitives; an
    amplifier's gain-bandwidth product is listed as ``NAME/bandwidth``.
    """

    primitives: tuple[Primitive, ...]
    rows: Mapping[str, int]
    size: int
    node_count: int
    unknowns: tuple[str, ...]
    branches: Mapping[str, int]
    fixed_g: FloatArray
    names: tuple[str, ...]
    owners: tuple[str, ...]
    kinds: IndexArray
    values: FloatArray
    stamps: Stamps
    banks: tuple[Bank, ...]
    delays: tuple[Delay, ...]
    floating: tuple[str, ...]

    def row(self, net: str) -> int:
        """The row of a net, `size` for ground; KeyError for a net the circuit does not have."""
        return self.rows[net]

    def element(self, name: str) -> int:
        """The place of a linear value in `names`; KeyError when there is none of that name."""
        return self._places[name]

    @cached_property
    def _places(self) -> Mapping[str, int]:
        return {name: place for place, name in enumerate(self.names)}

    @cached_property
    def firm(self) -> BoolArray:
        """Which unknowns (size,) have a meaning: all but the voltages of floating nets."""
        counted = np.ones(self.size + 1, dtype=bool)
        counted[[self.rows[net] for net in self.floating]] = False
        return counted[: self.size]

    @cached_property
    def in_g(self) -> IndexArray:
        """The linear values that enter the conductance matrix."""
        return np.flatnonzero(self.kinds <= Enters.IN_G)

    @cached_property
    def in_c(self) -> IndexArray:
        """The linear values that enter the matrix of derivatives."""
        return np.flatnonzero((self.kinds > Enters.IN_G) & (self.kinds < Enters.SOURCE))

    @cached_property
    def sources(self) -> IndexArray:
        """The linear values that are sources."""
        return np.flatnonzero(self.kinds == Enters.SOURCE)

    @cached_property
    def scatter_g(self) -> Scatter:
        """Sums the weights of all `in_g` values into the conductance matrix."""
        return matrix_scatter(self.stamps.pick(self.in_g), self.size)

    @cached_property
    def scatter_c(self) -> Scatter:
        """Sums the weights of all `in_c` values into the matrix of derivatives."""
        return matrix_scatter(self.stamps.pick(self.in_c), self.size)

    @cached_property
    def scatter_sources(self) -> Scatter:
        """Sums all source values into the right-hand side."""
        chosen = self.stamps.pick(self.sources)
        return vector_scatter(chosen.row_plus, chosen.row_minus, self.size)

    @cached_property
    def scatter_slopes(self) -> Scatter:
        """Sums the slopes of all banks, flattened and joined, into the conductance matrix."""
        return matrix_scatter(joined([bank.stamps() for bank in self.banks]), self.size)

    @cached_property
    def scatter_currents(self) -> Scatter:
        """Sums the outputs of all banks, flattened and joined, into the current law."""
        nothing = indices([])
        plus = np.concatenate([nothing, *(bank.out_plus.ravel() for bank in self.banks)])
        minus = np.concatenate([nothing, *(bank.out_minus.ravel() for bank in self.banks)])
        return vector_scatter(plus, minus, self.size)

    @cached_property
    def rest_g(self) -> FloatArray:
        """What is added to the conductance matrix (size, size) at rest: ties of floating nets, ohms of
        inductances.
        """
        extra = self._ties(self.floating)
        wound = [self.branches[part.name] for part in self.primitives if isinstance(part, Inductance)]
        extra[wound, wound] = -WINDING_OHMS
        return extra

    @cached_property
    def signal_g(self) -> FloatArray:
        """What is added for signals: ties of the nets that not even a capacitance holds."""
        return self._ties(floating_nets(self.primitives, self.floating, for_signals=True))

    def _ties(self, nets: Sequence[str]) -> FloatArray:
        extra = np.zeros((self.size, self.size))
        tied = [self.rows[net] for net in nets]
        extra[tied, tied] = TIE_S
        return extra

    def weights(self, values: FloatArray) -> FloatArray:
        """theta (variants, elements) of values (variants, elements)."""
        return weights_of(self.kinds, values)

    def conductances(self, values: FloatArray) -> FloatArray:
        """The linear conductance matrices (variants, size, size) of values (variants, elements)."""
        g = np.repeat(self.fixed_g[None], len(values), axis=0)
        self.scatter_g.add(g.reshape(len(values), -1), self.weights(values)[:, self.in_g])
        return g

    def derivatives(self, values: FloatArray) -> FloatArray:
        """The matrices of derivatives (variants, size, size): capacitances, inductances, amplifier poles."""
        c = np.zeros((len(values), self.size, self.size))
        self.scatter_c.add(c.reshape(len(values), -1), self.weights(values)[:, self.in_c])
        return c

    def drives(self, values: FloatArray) -> FloatArray:
        """The right-hand sides (variants, size) of all direct sources."""
        b = np.zeros((len(values), self.size))
        self.scatter_sources.add(b, values[:, self.sources])
        return b

    def changed(self, changes: Mapping[str, FloatArray]) -> FloatArray:
        """`values` (variants, elements) with some replaced by arrays (variants,); KeyError for unknown
        names.
        """
        count = max((len(np.atleast_1d(array)) for array in changes.values()), default=1)
        values = np.repeat(self.values[None], count, axis=0)
        for name, array in changes.items():
            values[:, self.element(name)] = array
        return values


def weights_of(kinds: IndexArray, values: FloatArray) -> FloatArray:
    """theta (variants, elements): the weight with which each value enters its stamp."""
    inverse = np.broadcast_to(POWER[kinds] < 0.0, values.shape)
    return np.asarray(FACTOR[kinds] * np.divide(1.0, values, out=values.copy(), where=inverse))


def compile_system(primitives: Sequence[Primitive]) -> System:
    """Number the nets and currents of a circuit and write its equations, once for all values.

    Raises ValueError when two primitives share a name.
    """
    counts = Counter(part.name for part in primitives)
    twice = [name for name, count in counts.items() if count > 1]
    if twice:
        raise ValueError(f"two primitives are called {twice[0]}")
    entries = Entries(primitives)
    entries.enter_all()
    floating = floating_nets(entries.primitives, entries.rows)
    size = entries.size
    return System(
        primitives=entries.primitives,
        rows=entries.rows,
        size=size,
        node_count=entries.node_count,
        unknowns=tuple(entries.unknowns),
        branches=entries.branches,
        fixed_g=frozen(entries.g[:size, :size].copy()),
        names=tuple(entries.names),
        owners=tuple(entries.owners),
        kinds=indices([int(kind) for kind in entries.kinds]),
        values=frozen(np.array(entries.values, dtype=float)),
        stamps=entries.stamps(),
        banks=gather(entries.primitives, entries.rows, entries.live_branches(), size),
        delays=tuple(entries.delays),
        floating=floating,
    )
