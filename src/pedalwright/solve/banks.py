"""The nonlinear parts of a circuit, gathered kind by kind and compiled to row numbers."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from pedalwright.circuit.circuit import GROUND as NET_OF_GROUND
from pedalwright.circuit.primitives import ClippingAmplifier, Primitive, RegulatedOutput
from pedalwright.solve.arrays import FloatArray, IndexArray, indices
from pedalwright.solve.laws import amplifier, bipolar, field_effect, junction, regulator, supply_draw
from pedalwright.solve.laws.law import BRANCH, GROUND, Law, Pair
from pedalwright.solve.stamps import Stamps

LAWS: tuple[Law, ...] = (
    junction.LAW,
    bipolar.LAW,
    field_effect.LAW,
    supply_draw.LAW,
    regulator.LAW,
    amplifier.LAW,
)


@dataclass(frozen=True, kw_only=True, eq=False)
class Bank:
    """All parts of one law.

    `plus`, `minus` (parts, controls) and `out_plus`, `out_minus` (parts, outputs) are rows.
    """

    law: Law
    parts: tuple[Primitive, ...]
    terminals: Mapping[str, IndexArray]
    plus: IndexArray
    minus: IndexArray
    out_plus: IndexArray
    out_minus: IndexArray
    polarity: FloatArray
    parameters: Mapping[str, FloatArray]

    @property
    def names(self) -> tuple[str, ...]:
        """The names of the primitives, in order."""
        return tuple(part.name for part in self.parts)

    def controls(self, volts: FloatArray) -> FloatArray:
        """The controlling voltages (variants, parts, controls) at `volts` (variants, size + 1)."""
        return (volts[:, self.plus] - volts[:, self.minus]) * self.polarity[:, None]

    def controls_from(self, voltages: Mapping[str, float]) -> FloatArray:
        """The controlling voltages (1, parts, controls) at the voltages of nets by name; KeyError for a
        missing net.
        """
        table = [
            [_between(part, pair, voltages) * polarity for pair in self.law.controls]
            for part, polarity in zip(self.parts, self.polarity, strict=True)
        ]
        return np.array([table])

    def stamps(self) -> Stamps:
        """Where the slopes go, flattened in the order (parts, outputs, controls)."""
        outputs = self.out_plus.shape[1]
        controls = self.plus.shape[1]
        return Stamps(
            row_plus=np.repeat(self.out_plus.ravel(), controls),
            row_minus=np.repeat(self.out_minus.ravel(), controls),
            column_plus=np.repeat(self.plus[:, None, :], outputs, axis=1).ravel(),
            column_minus=np.repeat(self.minus[:, None, :], outputs, axis=1).ravel(),
        )

    def pair(self, pair: Pair) -> tuple[IndexArray, IndexArray]:
        """The rows of two terminals, for every part."""
        return self.terminals[pair[0]], self.terminals[pair[1]]


def follows(part: Primitive) -> bool:
    """Whether a primitive is nonlinear, so that a law describes it."""
    if isinstance(part, ClippingAmplifier):
        return not part.ideal
    return any(isinstance(part, law.kind) for law in LAWS)


def terminal_net(part: Primitive, terminal: str) -> str:
    """The net of a terminal as the laws name it."""
    if isinstance(part, RegulatedOutput) and terminal == "ground_pin":
        return part.ground
    return str(getattr(part, terminal))


def _between(part: Primitive, pair: Pair, voltages: Mapping[str, float]) -> float:
    plus, minus = (terminal_net(part, terminal) for terminal in pair)
    known = {NET_OF_GROUND: 0.0} | {net: voltages[net] for net in (plus, minus) if net != NET_OF_GROUND}
    return known[plus] - known[minus]


def gather(
    primitives: Sequence[Primitive], rows: Mapping[str, int], branches: Mapping[str, int], size: int
) -> tuple[Bank, ...]:
    """The banks of a circuit; kinds that do not occur are left out."""
    banks = []
    for law in LAWS:
        parts = tuple(part for part in primitives if isinstance(part, law.kind) and follows(part))
        if parts:
            banks.append(_bank(law, parts, rows, branches, size))
    return tuple(banks)


def _bank(
    law: Law, parts: tuple[Primitive, ...], rows: Mapping[str, int], branches: Mapping[str, int], size: int
) -> Bank:
    pairs = [*law.controls, *law.outputs, *(pair for term in law.small for pair in (term.rows, term.columns))]
    names = dict.fromkeys(terminal for pair in pairs for terminal in pair)

    def row(part: Primitive, terminal: str) -> int:
        if terminal == GROUND:
            return size
        return branches.get(part.name, size) if terminal == BRANCH else rows[terminal_net(part, terminal)]

    terminals = {name: indices([row(part, name) for part in parts]) for name in names}
    table = [law.parameters(part) for part in parts]
    return Bank(
        law=law,
        parts=parts,
        terminals=terminals,
        plus=np.stack([terminals[a] for a, _ in law.controls], axis=1),
        minus=np.stack([terminals[b] for _, b in law.controls], axis=1),
        out_plus=np.stack([terminals[a] for a, _ in law.outputs], axis=1),
        out_minus=np.stack([terminals[b] for _, b in law.outputs], axis=1),
        polarity=np.array([float(getattr(part, "polarity", 1)) for part in parts]),
        parameters={key: np.array([entry[key] for entry in table]) for key in table[0]},
    )
