"""Which voltages and currents of a circuit are states, which follow at once: found on the circuit's graph.

The current law reads d/dt(C v) + K(v, i) = 0 with C singular. Its reduction to states needs no small
resistances and no thresholds, because it is done with whole numbers on graphs:

1. sources and amplifier outputs hold voltages. Nets tied together by them form one island; the current law
   summed over an island does not contain the currents of what holds it;
2. islands joined by capacitances form a cluster. In a cluster without ground one voltage is free of charge
   and follows at once; the others, against it, are states. Loops of capacitances and capacitances across
   sources need no special care: they only add to a symmetric positive matrix;
3. the states are charges divided by that matrix, in volts, so a source that jumps makes no state jump.

Inductor currents and outputs of amplifiers with a bandwidth are states as well. What is left must follow from
the states at once (index one); a circuit where it does not, such as inductances in series alone, is refused.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from pedalwright.circuit.primitives import (
    Capacitance,
    ClippingAmplifier,
    CurrentSource,
    DelayedCopy,
    Inductance,
    Primitive,
    RegulatedOutput,
    Resistance,
    Short,
    Transconductance,
    VoltageSource,
)
from pedalwright.solve.merging import floating_nets, nets_of
from pedalwright.solve.system import TIE_S
from tests.solve.time.reference_laws import EQUATION, LAWS, Floats, ReferenceLaw

Kind = TypeVar("Kind", bound=Primitive)
GROUND = "gnd"
Labels = NDArray[np.int32]


class Refused(ValueError):
    """The circuit is outside what the reference can integrate."""


def _joined(count: int, pairs: Sequence[tuple[int, int]]) -> Labels:
    a, b = np.array(pairs, dtype=int).reshape(-1, 2).T
    graph = coo_array((np.ones(len(a)), (a, b)), shape=(count, count))
    _, labels = connected_components(graph, directed=False)
    return np.asarray(labels, dtype=np.int32)


@dataclass(frozen=True, kw_only=True, eq=False)
class Nonlinear:
    """All parts of one law: `controls` (all, unknowns) and `outputs` (equations, all), polarity included."""

    law: ReferenceLaw
    figures: dict[str, Floats]
    controls: Floats
    outputs: Floats


class Layout:
    """The circuit as matrices. Unknowns: net voltages, inductor currents, regulator currents.

    Equations: current law of every net, volts across every inductance, regulators, what moves amplifiers.
    """

    def __init__(self, primitives: Sequence[Primitive]) -> None:
        self.parts = [part for part in primitives if not isinstance(part, Short)]
        if any(isinstance(part, DelayedCopy) for part in self.parts):
            raise Refused("a delayed copy is not an ordinary differential equation")
        self.place = self._number_nets(primitives)
        self.nets = max(self.place.values())
        self.sources = [part for part in self._of(VoltageSource) if self._differs(part.plus, part.minus)]
        self.pumps = self._of(CurrentSource)
        self.inductors = [part for part in self._of(Inductance) if self._differs(part.a, part.b)]
        self.regulators = self._of(RegulatedOutput)
        self.amplifiers = [part for part in self._of(ClippingAmplifier) if self._differs(part.output, GROUND)]
        self.unknowns = self.nets + len(self.inductors) + len(self.regulators)
        self.equations = self.unknowns + len(self.amplifiers)
        self.ties = floating_nets(self.parts, self.place, for_signals=True)

    def _of(self, kind: type[Kind]) -> list[Kind]:
        return [part for part in self.parts if isinstance(part, kind)]

    @staticmethod
    def _number_nets(primitives: Sequence[Primitive]) -> dict[str, int]:
        """Every net's number, 0 for ground; shorted nets share one."""
        nets = list(dict.fromkeys([GROUND, *(net for part in primitives for net in nets_of(part))]))
        order = {net: number for number, net in enumerate(nets)}
        shorts = [(order[part.a], order[part.b]) for part in primitives if isinstance(part, Short)]
        labels = _joined(len(nets), shorts)
        known = dict.fromkeys([labels[0], *labels])
        renumbered = {int(label): number for number, label in enumerate(known)}
        return {net: renumbered[int(labels[number])] for net, number in order.items()}

    def _differs(self, a: str, b: str) -> bool:
        return self.place[a] != self.place[b]

    def between(self, plus: str, minus: str) -> Floats:
        """+1 and -1 (unknowns,) at two nets, nothing at ground."""
        row = np.zeros(self.unknowns)
        for net, sign in ((plus, 1.0), (minus, -1.0)):
            if self.place[net]:
                row[self.place[net] - 1] += sign
        return row

    @cached_property
    def linear(self) -> Floats:
        """The linear part (equations, unknowns) of everything but derivatives."""
        e = np.zeros((self.equations, self.unknowns))
        for part in self.parts:
            if isinstance(part, Resistance):
                drop = self.between(part.a, part.b)
                e[: self.unknowns] += np.outer(drop, drop) / part.ohms
            elif isinstance(part, Transconductance):
                steering = self.between(part.control_plus, part.control_minus)
                e[: self.unknowns] += part.siemens * np.outer(self.between(part.a, part.b), steering)
        for net in self.ties:
            one = self.between(net, GROUND)
            e[: self.unknowns] += TIE_S * np.outer(one, one)
        self._inductors(e)
        self._regulators(e)
        self._ideal_amplifiers(e)
        return e

    def _inductors(self, e: Floats) -> None:
        for row, part in enumerate(self.inductors, start=self.nets):
            drop = self.between(part.a, part.b)
            e[: self.unknowns, row] += drop
            e[row] += drop

    def _regulators(self, e: Floats) -> None:
        for row, part in enumerate(self.regulators, start=self.nets + len(self.inductors)):
            e[: self.unknowns, row] += self.between(part.input, part.output)
            e[row] += self.between(part.output, part.ground)
            e[row, row] += part.output_ohms

    def _ideal_amplifiers(self, e: Floats) -> None:
        for row, part in enumerate(self.amplifiers, start=self.unknowns):
            if part.ideal:
                e[row] += self.between(part.non_inverting, part.inverting)

    @cached_property
    def pumped(self) -> Floats:
        """What the current sources take (equations, sources) from the current law, an ampere each."""
        columns = [np.append(self.between(p.a, p.b), np.zeros(len(self.amplifiers))) for p in self.pumps]
        return np.array(columns).reshape(-1, self.equations).T

    @cached_property
    def nonlinear(self) -> list[Nonlinear]:
        """The parts of every law that occurs."""
        found = []
        for law in LAWS:
            parts = [part for part in self.parts if isinstance(part, law.kind) and self._follows(part)]
            if parts:
                found.append(self._bank(law, parts))
        return found

    def _follows(self, part: Primitive) -> bool:
        return not isinstance(part, ClippingAmplifier) or (part in self.amplifiers and not part.ideal)

    def _bank(self, law: ReferenceLaw, parts: list[Primitive]) -> Nonlinear:
        controls, outputs = [], []
        for part in parts:
            sign = float(getattr(part, "polarity", 1))
            controls += [sign * self.between(getattr(part, a), getattr(part, b)) for a, b in law.controls]
            outputs += [sign * self._output(part, a, b) for a, b in law.outputs]
        figures = law.figures(parts)
        return Nonlinear(law=law, figures=figures, controls=np.array(controls), outputs=np.array(outputs).T)

    def _output(self, part: Primitive, a: str, b: str) -> Floats:
        column = np.zeros(self.equations)
        if a != EQUATION:
            column[: self.unknowns] = self.between(getattr(part, a), getattr(part, b))
        elif isinstance(part, RegulatedOutput):
            column[self.nets + len(self.inductors) + self.regulators.index(part)] = 1.0
        elif isinstance(part, ClippingAmplifier):
            column[self.unknowns + self.amplifiers.index(part)] = 1.0
        return column

    @cached_property
    def farads(self) -> Floats:
        """The capacitance matrix (nets, nets)."""
        c = np.zeros((self.nets, self.nets))
        for part in self._of(Capacitance):
            drop = self.between(part.a, part.b)[: self.nets]
            c += part.farads * np.outer(drop, drop)
        return c

    @cached_property
    def _holding(self) -> list[tuple[int, int]]:
        held = [(self.place[part.plus], self.place[part.minus]) for part in self.sources]
        return [*held, *((self.place[part.output], 0) for part in self.amplifiers)]

    @cached_property
    def islands(self) -> tuple[Floats, Floats]:
        """Net voltages as (nets, islands) of the islands' and (nets, held) of the held voltages."""
        labels = _joined(self.nets + 1, self._holding)
        roots = {label: net for net, label in reversed(list(enumerate(labels))) if label != labels[0]}
        rows = np.zeros((len(self._holding) + len(roots), self.nets + 1))
        for row, (plus, minus) in enumerate(self._holding):
            rows[row, plus], rows[row, minus] = 1.0, -1.0
        rows[range(len(self._holding), len(rows)), sorted(roots.values())] = 1.0
        if len(rows) != self.nets:
            raise Refused("sources or amplifier outputs hold each other in a loop")
        inverse = np.round(np.linalg.inv(rows[:, 1:]))
        return inverse[:, len(self._holding) :], inverse[:, : len(self._holding)]

    @cached_property
    def clusters(self) -> tuple[Floats, Floats]:
        """Islands' voltages as (islands, charged) of the charged and (islands, free) of the free voltages."""
        labels = _joined(self.nets + 1, self._holding)
        number = {label: place for place, label in enumerate(dict.fromkeys(labels))}
        ends = [[number[labels[self.place[net]]] for net in (p.a, p.b)] for p in self._of(Capacitance)]
        cluster = _joined(len(number), [(a, b) for a, b in ends])
        first = {label: island for island, label in reversed(list(enumerate(cluster))) if label != cluster[0]}
        free = sorted(first.values())
        follows = np.array([[float(label == cluster[root]) for root in free] for label in cluster[1:]])
        charged = np.delete(np.eye(len(cluster) - 1), [root - 1 for root in free], axis=1)
        return charged, follows.reshape(len(cluster) - 1, len(free))
