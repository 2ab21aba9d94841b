"""A circuit made ready to run in time: tables for the compiled steps, and the state they work on."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from pedalwright.circuit.primitives import VoltageSource
from pedalwright.solve.arrays import FloatArray, IndexArray, indices
from pedalwright.solve.linear import SmallSignal, linearise
from pedalwright.solve.rest import OperatingPoint
from pedalwright.solve.system import System
from pedalwright.solve.time.bends import bends
from pedalwright.solve.time.devices import Pair, Port, conductance_port, ports_at
from pedalwright.solve.time.codes import FIGURES
from pedalwright.solve.time.holds import Hold, hold
from pedalwright.solve.time.order import blocks_of
from pedalwright.solve.time.quiet import quiet_bounds
from pedalwright.solve.time.relevance import SUPPLY_V, largest, moved_devices, strongest, without_idle_states
from pedalwright.solve.time.remainders import PLACES
from pedalwright.solve.time.state_space import StateSpace, state_space
from pedalwright.solve.time.tables import COUNTS, LEVELS, TERMS, Machine, State
from pedalwright.solve.time.tamed import tamed

FAST_STEPS = 1e-5
"""modes this much faster than a step follow at once"""
TOLERANCE_V = 1e-4
"""how wrong a part of a step may be: 80 dB below one volt"""
FINEST = 8
SPREADING = 0.03
"""house choice: with it the error of a step is about what it is told to be, see the tests against Radau"""
SHORT_STRIDE = 1e-3
"""of the bends of the laws: an exponential is then met within half a millionth of 50 mV"""

@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What a machine is to be driven by and to tell.

    `sources`: names of voltage sources, driven by changes of their voltage [V]. `currents`: pairs of nets, driven
    by a current [A] flowing through the drive from the first to the second. `asked`: pairs of nets whose voltage
    is told. `movable`: names of resistances that may change while time runs.
    """

    sources: tuple[str, ...] = ("input",)
    currents: tuple[tuple[str, str], ...] = ()
    asked: tuple[tuple[str, str], ...] = ()
    movable: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, eq=False)
class Clockwork:
    """A circuit ready to run. `machine` for the compiled loops; everything else says what its rows are.

    `asked_rows` (asked,): rows of State.rows that hold the changes of the asked voltages; `asked_rest_v` (asked,)
    what to add to them; `asked_moves_v` (asked,) how far signals can move them at most [V]. `ports` are the devices in
    the machine's order, `places` their places by name.
    """

    machine: Machine
    small: SmallSignal
    rest: OperatingPoint
    space: StateSpace
    step_s: float
    wanted: Wanted
    ports: tuple[Port, ...]
    asked_rows: IndexArray
    asked_rest_v: FloatArray
    asked_moves_v: FloatArray
    places: Mapping[str, int] = field(default_factory=dict)
    is_tamed: bool = False
    """whether amplifiers on a knife's edge were given a gentle tangent"""

    def state_at_rest(self) -> State:
        """A fresh state: the circuit at its rest point."""
        m, devices = self.machine, len(self.ports)
        controls, outputs = int(m.first_control[-1]), int(m.first_output[-1])
        widest = max(m.states, controls, outputs, devices, 1)
        figures = np.array([port.figures for port in self.ports]).reshape(devices, FIGURES)
        return State(
            z=np.zeros(m.states),
            rows=np.zeros(m.table.shape[2]),
            x=np.zeros(controls),
            r=np.zeros(outputs),
            x_rate=np.zeros(controls),
            r_rate=np.zeros(outputs),
            level=np.zeros(1, dtype=np.int64),
            awake=np.zeros(devices, dtype=np.int64),
            slot=np.zeros(devices, dtype=np.int64),
            figures=figures,
            counts=np.zeros(COUNTS, dtype=np.int64),
            evaluated=np.zeros((max(devices, 1), PLACES)),
            misfit=np.zeros(controls + 1),
            matrix=np.zeros((controls + 1, controls + 1)),
            before=np.zeros((4, widest)),
            drive=np.zeros((m.drives, TERMS)),
            terms=np.zeros((m.drives, TERMS)),
        )


def clockwork(
    system: System,
    rest: OperatingPoint,
    wanted: Wanted,
    step_s: float,
    small: SmallSignal | None = None,
    tolerance_v: float = TOLERANCE_V,
) -> Clockwork:
    """Make a circuit ready to run in steps of `step_s` [s] from its rest point.

    Raises NotCertified for a rest point that is not certified, KeyError for names the circuit does not have,
    numpy.linalg.LinAlgError for a circuit that cannot be solved.
    """
    linear = linearise(system, rest) if small is None else small
    tame = tamed(linear, step_s)
    ports = [*ports_at(tame, rest)]
    ports += [conductance_port(tame, rest, name, _owner(system, name)) for name in wanted.movable]
    ports = _relevant(_space(tame, ports, wanted, step_s), ports, wanted, step_s)
    order = blocks_of(ports, _effect(_space(tame, ports, wanted, step_s), ports, wanted, step_s))
    ports = [ports[device] for block in order for device in block]
    space = without_idle_states(_space(tame, ports, wanted, step_s), _largest(ports, wanted))
    machine = _machine(space, _holds(space, step_s), ports, order, wanted, tolerance_v)
    controls = sum(len(port.controls) for port in ports)
    rows = [system.rows[a] for a, _ in wanted.asked], [system.rows[b] for _, b in wanted.asked]
    return Clockwork(
        machine=machine, small=tame, rest=rest, space=space, step_s=step_s, wanted=wanted, ports=tuple(ports),
        asked_rows=indices([space.size + controls + k for k in range(len(wanted.asked))]),
        asked_rest_v=rest.x[indices(rows[0])] - rest.x[indices(rows[1])],
        asked_moves_v=_reach_v(space, ports, wanted)[controls : controls + len(wanted.asked)],
        places={port.name: place for place, port in enumerate(ports)}, is_tamed=tame is not linear,
    )  # fmt: skip


def _space(small: SmallSignal, ports: Sequence[Port], wanted: Wanted, step_s: float) -> StateSpace:
    """From all drives to all picks; modes far faster than a step follow at once."""
    return state_space(small, _drives(small, ports, wanted), _picks(small, ports, wanted), FAST_STEPS * step_s)


def _largest(ports: Sequence[Port], wanted: Wanted) -> FloatArray:
    return largest(ports, len(wanted.sources), len(wanted.currents))


def _reach_v(space: StateSpace, ports: Sequence[Port], wanted: Wanted) -> FloatArray:
    """How far everything picked (picks,) can be moved at most [V]."""
    return np.asarray((strongest(space) * _largest(ports, wanted)).sum(axis=1))


def _relevant(space: StateSpace, ports: Sequence[Port], wanted: Wanted, step_s: float) -> list[Port]:
    """The devices that a signal can move out of where they are quiet."""
    outer = len(wanted.sources) + len(wanted.currents)
    whole = hold(space.a, space.b, step_s, 2)
    at_end = whole.gammas[1][:, outer:]
    low, high = _quiet(ports, np.vstack([at_end, space.c @ at_end + space.d[:, outer:]]).T, space.size)
    reach_v = strongest(space) * _largest(ports, wanted)
    moved = moved_devices(ports, reach_v, np.minimum(-low, high), outer)
    return [port for port, moves in zip(ports, moved, strict=True) if moves]


def _owner(system: System, name: str) -> str:
    return next(part.owner for part in system.primitives if part.name == name)


def _drives(small: SmallSignal, ports: Sequence[Port], wanted: Wanted) -> FloatArray:
    """The columns (size, drives): sources, currents, remainders."""
    system, size = small.system, small.size
    sources = {part.name for part in system.primitives if isinstance(part, VoltageSource)}
    columns = []
    for name in wanted.sources:
        if name not in sources:
            raise KeyError(name)
        columns.append(_column(size, system.branches[name], size, 1.0))
    columns += [_column(size, system.rows[b], system.rows[a], 1.0) for a, b in wanted.currents]
    columns += [_column(size, *pair, -port.polarity) for port in ports for pair in port.outputs]
    return np.array(columns).reshape(-1, size + 1).T[:size]


def _column(size: int, plus: int, minus: int, weight: float) -> FloatArray:
    found = np.zeros(size + 1)
    found[plus] += weight
    found[minus] -= weight
    return found


def _picks(small: SmallSignal, ports: Sequence[Port], wanted: Wanted) -> FloatArray:
    """The rows (picks, size): controls, asked nets, supplies of amplifiers."""
    size, rows = small.size, small.system.rows
    lines = [_column(size, *pair, port.polarity) for port in ports for pair in port.controls]
    lines += [_column(size, rows[a], rows[b], 1.0) for a, b in wanted.asked]
    lines += [_column(size, *pair, 1.0) for pair in _supplies(ports)]
    return np.array(lines).reshape(-1, size + 1)[:, :size]


def _supplies(ports: Sequence[Port]) -> list[Pair]:
    """The supplies of amplifiers, each once."""
    return list(dict.fromkeys(port.aux for port in ports if port.aux is not None))


def _holds(space: StateSpace, step_s: float) -> list[Hold]:
    """The holds of all levels, the whole step first."""
    found = [hold(space.a, space.b, step_s * 0.5 ** (LEVELS - 1), TERMS)]
    while len(found) < LEVELS:
        found.append(found[-1].doubled())
    return found[::-1]


def _effect(space: StateSpace, ports: Sequence[Port], wanted: Wanted, step_s: float) -> FloatArray:
    """What each remainder does to each control (controls, outputs) by the end of a step."""
    whole = hold(space.a, space.b, step_s, 2)
    first = len(wanted.sources) + len(wanted.currents)
    controls = sum(len(port.controls) for port in ports)
    return np.asarray((space.c @ whole.gammas[1] + space.d)[:controls, first:])


def _machine(
    space: StateSpace,
    holds: Sequence[Hold],
    ports: Sequence[Port],
    order: Sequence[Sequence[int]],
    wanted: Wanted,
    tolerance_v: float,
) -> Machine:
    outer, supplies = len(wanted.sources) + len(wanted.currents), _supplies(ports)
    table, answer = _tables(space, holds, outer)
    controls = np.cumsum([0, *(len(port.controls) for port in ports)])
    outputs = np.cumsum([0, *(len(port.outputs) for port in ports)])
    low, high = _quiet(ports, answer[0], space.size)
    first_supply = space.size + int(controls[-1]) + len(wanted.asked)
    moves = np.concatenate([np.zeros(space.size), _reach_v(space, ports, wanted)]) > SUPPLY_V
    aux = [-1 if port.aux is None else first_supply + supplies.index(port.aux) for port in ports]
    return Machine(
        states=space.size,
        drives=outer,
        table=table,
        answer=answer,
        effect=_effects(space, holds, answer, outer),
        block_first=indices([0, *(int(n) for n in np.cumsum([len(block) for block in order]))]),
        code=indices([port.code for port in ports]),
        first_control=controls.astype(np.int64),
        first_output=outputs.astype(np.int64),
        aux=indices([row if row >= 0 and moves[row] else -1 for row in aux]),
        quiet_low=low,
        quiet_high=high,
        bend=np.array([bend for port in ports for bend, _ in bends(port)]),
        knee=np.array([knee for port in ports for _, knee in bends(port)]),
        tolerance_v=tolerance_v,
        finest=FINEST,
        short_stride=SHORT_STRIDE,
    )


def _tables(space: StateSpace, holds: Sequence[Hold], outer: int) -> tuple[FloatArray, FloatArray]:
    count, outputs = space.size, space.b.shape[1] - outer
    rows = -(-(count + len(space.c)) // 8) * 8
    table = np.zeros((LEVELS, count + TERMS * outer + outputs, rows))
    answer = np.zeros((LEVELS, outputs, rows))
    for level, one in enumerate(holds):
        _put(table[level, :count], one.phi, space.c @ one.phi)
        for term in range(TERMS):
            gamma = one.gammas[term]
            told = space.c @ gamma + space.d
            _put(table[level, count + term : count + TERMS * outer : TERMS], gamma[:, :outer], told[:, :outer])
        at_end = one.gammas[1][:, outer:]
        _put(answer[level], at_end, space.c @ at_end + space.d[:, outer:])
        before = (one.gammas[0] - one.gammas[1])[:, outer:]
        _put(table[level, count + TERMS * outer :], before, space.c @ before)
    return table, answer


def _effects(space: StateSpace, holds: Sequence[Hold], answer: FloatArray, outer: int) -> FloatArray:
    """How wrong (levels, outputs) whatever is observed becomes, per unit by which a remainder misses its straight line.

    A remainder with a second difference e lies e/2 x (1 - x) off the line between its ends: that is what the states
    gather. A share of the immediate effect is added for what other devices make of it within the step.
    """
    gathered = [np.abs(space.c @ (one.gammas[1] - one.gammas[2])[:, outer:]).max(axis=0, initial=0.0) for one in holds]
    at_once = np.abs(answer[:, :, space.size :]).max(axis=2, initial=0.0)
    return 0.5 * np.array(gathered) + SPREADING * at_once


def _put(into: FloatArray, states: FloatArray, told: FloatArray) -> None:
    """Write effects on states and on observed rows, turned, into the first places of a table."""
    both = np.vstack([states, told]).T
    into[:, : both.shape[1]] = both


def _quiet(ports: Sequence[Port], answer: FloatArray, states: int) -> tuple[FloatArray, FloatArray]:
    """The bounds of every control; `answer` (outputs, rows) is what remainders do, states first."""
    bounds: list[tuple[float, float]] = []
    at = 0
    for port in ports:
        strongest = np.abs(answer[at : at + len(port.outputs), states:]).max(axis=1, initial=0.0)
        bounds += quiet_bounds(port, strongest)
        at += len(port.outputs)
    table = np.array(bounds).reshape(-1, 2)
    return table[:, 0].copy(), table[:, 1].copy()
