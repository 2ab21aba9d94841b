"""What a machine is connected to: its drives and picks as columns and rows of the circuit's equations."""

from dataclasses import dataclass

import numpy as np

from pedalwright.circuit.primitives import VoltageSource
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.linear import SmallSignal
from pedalwright.solve.system import System
from pedalwright.solve.time.devices import Pair, Port
from pedalwright.solve.time.relevance import largest, moved_devices, strongest
from pedalwright.solve.time.state_space import StateSpace, state_space

FAST_STEPS = 1e-5
"""modes this much faster than a step follow at once"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What a machine is to be driven by and to tell.

    `sources`: names of voltage sources, driven by changes of their voltage [V]. `currents`: pairs of nets,
    driven by a current [A] flowing through the drive from the first to the second. `asked`: pairs of nets
    whose voltage is told. `movable`: names of resistances that may change while time runs.
    """

    sources: tuple[str, ...] = ("input",)
    currents: tuple[tuple[str, str], ...] = ()
    asked: tuple[tuple[str, str], ...] = ()
    movable: tuple[str, ...] = ()

    @property
    def outer(self) -> int:
        """How many drives from outside: all but the remainders of devices."""
        return len(self.sources) + len(self.currents)


@dataclass(frozen=True, kw_only=True, eq=False)
class Wiring:
    """A linear circuit with its devices taken out as ports, and all that goes in and out."""

    small: SmallSignal
    ports: tuple[Port, ...]
    wanted: Wanted
    step_s: float

    def space(self) -> StateSpace:
        """From all drives to all picks; modes far faster than a step follow at once."""
        return state_space(self.small, self.drives(), self.picks(), FAST_STEPS * self.step_s)

    @property
    def controls(self) -> int:
        """How many controls all devices have; they are picked first."""
        return sum(len(port.controls) for port in self.ports)

    @property
    def supplies(self) -> list[Pair]:
        """The supplies of amplifiers, each once; they are picked last."""
        return list(dict.fromkeys(port.aux for port in self.ports if port.aux is not None))

    def largest(self) -> FloatArray:
        """The largest value each drive gets (drives,)."""
        return largest(self.ports, len(self.wanted.sources), len(self.wanted.currents))

    def reach_v(self, space: StateSpace) -> FloatArray:
        """How far every drive can move everything picked at most (picks, drives) [V]."""
        return np.asarray(strongest(space) * self.largest())

    def drives(self) -> FloatArray:
        """The columns (size, drives): sources, currents, remainders. KeyError for a source there is not."""
        system, size = self.small.system, self.small.size
        columns = [
            _column(size, system.branches[name], size, 1.0)
            for name in self.wanted.sources
            if _is_source(system, name)
        ]
        columns += [_column(size, system.rows[b], system.rows[a], 1.0) for a, b in self.wanted.currents]
        columns += [_column(size, *pair, -port.polarity) for port in self.ports for pair in port.outputs]
        return np.array(columns).reshape(-1, size + 1).T[:size]

    def picks(self) -> FloatArray:
        """The rows (picks, size): controls, asked nets, supplies of amplifiers."""
        size, rows = self.small.size, self.small.system.rows
        lines = [_column(size, *pair, port.polarity) for port in self.ports for pair in port.controls]
        lines += [_column(size, rows[a], rows[b], 1.0) for a, b in self.wanted.asked]
        lines += [_column(size, *pair, 1.0) for pair in self.supplies]
        return np.array(lines).reshape(-1, size + 1)[:, :size]


def _is_source(system: System, name: str) -> bool:
    """True; KeyError for a name that is no voltage source."""
    if not any(isinstance(part, VoltageSource) and part.name == name for part in system.primitives):
        raise KeyError(name)
    return True


def _column(size: int, plus: int, minus: int, weight: float) -> FloatArray:
    found = np.zeros(size + 1)
    found[plus] += weight
    found[minus] -= weight
    return found


def without_unmoved(wiring: Wiring, space: StateSpace, quiet_v: FloatArray) -> tuple[Port, ...]:
    """The devices that signals can move out of where they are quiet.

    `quiet_v` (controls,) says how far that is.
    """
    moved = moved_devices(wiring.ports, wiring.reach_v(space), quiet_v, wiring.wanted.outer)
    return tuple(port for port, moves in zip(wiring.ports, moved, strict=True) if moves)
