"""Primitives entered one by one: nets numbered, linear values listed, fixed coefficients written down."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import Any

import numpy as np

from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.primitives import (
    Capacitance,
    ClippingAmplifier,
    CurrentSource,
    DelayedCopy,
    Inductance,
    Primitive,
    RegulatedOutput,
    Resistance,
    Transconductance,
    VoltageSource,
)
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.merging import Merger, nets_of, shorted
from pedalwright.solve.stamps import Stamps


class Enters(IntEnum):
    """How a linear value p enters the equations: theta is 1/p or p, into G, C or the right-hand side."""

    INVERSE_IN_G = 0  # a resistance
    MINUS_INVERSE_IN_G = 1  # an amplifier's gain at rest, on its own branch
    IN_G = 2  # a transconductance
    IN_C = 3  # a capacitance
    MINUS_IN_C = 4  # an inductance, on its own branch
    BANDWIDTH_IN_C = 5  # an amplifier's gain-bandwidth product, as 1/(2 pi f)
    SOURCE = 6  # a voltage or current source


POWER: FloatArray = np.array([-1.0, -1.0, 1.0, 1.0, 1.0, -1.0, 1.0])
"""theta goes as this power of the value, by kind"""
FACTOR: FloatArray = np.array([1.0, -1.0, 1.0, 1.0, -1.0, -1.0 / (2.0 * np.pi), 1.0])
"""and has this factor, by kind"""


@dataclass(frozen=True, kw_only=True)
class Delay:
    """A compiled delayed copy: its own equation `branch`, the rows it reads, and what it does."""

    name: str
    branch: int
    output: int
    input: int
    reference: int
    delay_s: float
    gain: float


class Entries:
    """The equations being written; `g` has a spare last row and column for ground."""

    def __init__(self, primitives: Sequence[Primitive]) -> None:
        self.primitives = tuple(primitives)
        merger = shorted(self.primitives)
        nets = dict.fromkeys([GROUND, *(net for part in primitives for net in nets_of(part))])
        self.rows, self.unknowns = self._number(nets, merger)
        self.node_count = len(self.unknowns)
        self.branches = self._number_branches()
        self.size = len(self.unknowns)
        self.rows = {net: self.size if row < 0 else row for net, row in self.rows.items()}
        self.g = np.zeros((self.size + 1, self.size + 1))
        self.names: list[str] = []
        self.owners: list[str] = []
        self.kinds: list[Enters] = []
        self.values: list[float] = []
        self.places: list[tuple[int, int, int, int]] = []
        self.delays: list[Delay] = []
        self.dead: set[str] = set()

    @staticmethod
    def _number(nets: Mapping[str, None], merger: Merger) -> tuple[dict[str, int], list[str]]:
        unknowns = [net for net in nets if merger.find(net) == net and net != GROUND]
        order = {net: row for row, net in enumerate(unknowns)} | {GROUND: -1}
        return {net: order[merger.find(net)] for net in nets}, unknowns

    def _number_branches(self) -> dict[str, int]:
        kinds = VoltageSource | Inductance | ClippingAmplifier | RegulatedOutput | DelayedCopy
        branches = {}
        for part in self.primitives:
            if isinstance(part, kinds):
                branches[part.name] = len(self.unknowns)
                self.unknowns.append(part.name)
        return branches

    def element(
        self, part: Primitive, name: str, kind: Enters, value: float, place: tuple[int, int, int, int]
    ) -> None:
        """List one linear value, with the rows (plus, minus) and columns (plus, minus) of its stamp."""
        self.names.append(name)
        self.owners.append(part.owner)
        self.kinds.append(kind)
        self.values.append(value)
        self.places.append(place)

    def carry(self, branch: int, into: int, out_of: int) -> None:
        """Let a branch current flow from row `into` the part and `out_of` it again."""
        self.g[into, branch] += 1.0
        self.g[out_of, branch] -= 1.0

    def across(self, branch: int, plus: int, minus: int) -> None:
        """Put the voltage from `plus` to `minus` into a branch equation."""
        self.g[branch, plus] += 1.0
        self.g[branch, minus] -= 1.0

    def held(self, part: Primitive, branch: int, plus: int, minus: int) -> bool:
        """Enter a branch that holds a voltage between two rows; False, and no current, when they are one
        row.
        """
        if plus == minus:
            self.silence(part)
            return False
        self.carry(branch, plus, minus)
        self.across(branch, plus, minus)
        return True

    def silence(self, part: Primitive) -> None:
        """A part with nothing to hold: its current is zero, and its equation says no more than that."""
        branch = self.branches[part.name]
        self.g[branch, branch] = 1.0
        self.dead.add(part.name)

    def resistance(self, part: Resistance) -> None:
        """Enter a resistance."""
        a, b = self.rows[part.a], self.rows[part.b]
        self.element(part, part.name, Enters.INVERSE_IN_G, part.ohms, (a, b, a, b))

    def capacitance(self, part: Capacitance) -> None:
        """Enter a capacitance."""
        a, b = self.rows[part.a], self.rows[part.b]
        self.element(part, part.name, Enters.IN_C, part.farads, (a, b, a, b))

    def inductance(self, part: Inductance) -> None:
        """Enter an inductance: va - vb - s L i = 0."""
        branch, a, b = self.branches[part.name], self.rows[part.a], self.rows[part.b]
        place = (branch, self.size, branch, self.size)
        self.element(part, part.name, Enters.MINUS_IN_C, part.henries, place)
        self.held(part, branch, a, b)

    def voltage_source(self, part: VoltageSource) -> None:
        """Enter a voltage source."""
        branch, plus, minus = self.branches[part.name], self.rows[part.plus], self.rows[part.minus]
        if self.held(part, branch, plus, minus):
            place = (branch, self.size, self.size, self.size)
            self.element(part, part.name, Enters.SOURCE, part.dc_v, place)

    def current_source(self, part: CurrentSource) -> None:
        """Enter a current source: it takes from `a` and gives to `b`."""
        place = (self.rows[part.b], self.rows[part.a], self.size, self.size)
        self.element(part, part.name, Enters.SOURCE, part.dc_a, place)

    def transconductance(self, part: Transconductance) -> None:
        """Enter a linear controlled source."""
        a, b = self.rows[part.a], self.rows[part.b]
        plus, minus = self.rows[part.control_plus], self.rows[part.control_minus]
        self.element(part, part.name, Enters.IN_G, part.siemens, (a, b, plus, minus))

    def amplifier(self, part: ClippingAmplifier) -> None:
        """Enter the linear side of an amplifier's equation: v+ - v-, and its pole; the law does the rest."""
        branch, output = self.branches[part.name], self.rows[part.output]
        if output == self.size:
            self.silence(part)
            return
        self.carry(branch, output, self.size)
        self.across(branch, self.rows[part.non_inverting], self.rows[part.inverting])
        if part.gain_bandwidth_hz is not None and not part.ideal:
            place = (branch, self.size, output, self.size)
            name = f"{part.name}/bandwidth"
            self.element(part, name, Enters.BANDWIDTH_IN_C, part.gain_bandwidth_hz, place)

    def regulator(self, part: RegulatedOutput) -> None:
        """Enter a regulator: its output current comes out of its input."""
        branch, output, ground = self.branches[part.name], self.rows[part.output], self.rows[part.ground]
        if output == ground and part.output_ohms == 0.0:
            self.silence(part)
            return
        self.carry(branch, self.rows[part.input], output)
        self.across(branch, output, ground)
        self.g[branch, branch] += part.output_ohms

    def delay(self, part: DelayedCopy) -> None:
        """Enter a delayed copy at rest: its output stands at its reference."""
        branch, output, reference = (
            self.branches[part.name],
            self.rows[part.output],
            self.rows[part.reference],
        )
        if self.held(part, branch, output, reference):
            self.delays.append(
                Delay(
                    name=part.name,
                    branch=branch,
                    output=output,
                    input=self.rows[part.input],
                    reference=reference,
                    delay_s=part.delay_s,
                    gain=part.gain,
                )
            )

    def enter_all(self) -> None:
        """Enter every primitive's linear share; shorts and nonlinear parts have none."""
        ways: Mapping[type[Primitive], Callable[[Any], None]] = {
            Resistance: self.resistance,
            Capacitance: self.capacitance,
            Inductance: self.inductance,
            VoltageSource: self.voltage_source,
            CurrentSource: self.current_source,
            Transconductance: self.transconductance,
            ClippingAmplifier: self.amplifier,
            RegulatedOutput: self.regulator,
            DelayedCopy: self.delay,
        }
        for part in self.primitives:
            way = ways.get(type(part))
            if way is not None:
                way(part)

    def live_branches(self) -> Mapping[str, int]:
        """The branches that have an equation of their own."""
        return {name: row for name, row in self.branches.items() if name not in self.dead}

    def stamps(self) -> Stamps:
        """The rows and columns of all linear values."""
        columns = np.array(self.places, dtype=np.int64).reshape(-1, 4).T
        return Stamps(
            row_plus=columns[0], row_minus=columns[1], column_plus=columns[2], column_minus=columns[3]
        )
