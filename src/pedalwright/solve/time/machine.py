"""A circuit made ready to run in time: tables for the compiled steps, and the state they work on."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from pedalwright.solve.arrays import FloatArray, IndexArray, indices
from pedalwright.solve.linear import SmallSignal, linearise
from pedalwright.solve.rest import OperatingPoint
from pedalwright.solve.system import System
from pedalwright.solve.time.codes import FIGURES
from pedalwright.solve.time.devices import Port, conductance_port, ports_at
from pedalwright.solve.time.making import effect_within_step, machine_of, quiet_of
from pedalwright.solve.time.order import blocks_of
from pedalwright.solve.time.relevance import without_idle_states
from pedalwright.solve.time.remainders import PLACES
from pedalwright.solve.time.state_space import StateSpace
from pedalwright.solve.time.tables import COUNTS, TERMS, Machine, State
from pedalwright.solve.time.tamed import tamed, unstuck
from pedalwright.solve.time.wiring import Wanted, Wiring, without_unmoved

__all__ = ["Clockwork", "Wanted", "clockwork"]

TOLERANCE_V = 1e-4
"""how wrong a part of a step may be: 80 dB below one volt"""


@dataclass(frozen=True, kw_only=True, eq=False)
class Clockwork:
    """A circuit ready to run. `machine` for the compiled loops; everything else says what its rows are.

    `asked_rows` (asked,): rows of State.rows that hold the changes of the asked voltages; `asked_rest_v`
    (asked,) what to add to them; `asked_moves_v` (asked,) how far signals can move them at most [V]. `ports`
    are the devices in the machine's order, `places` their places by name.
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
            after=np.zeros(m.push.shape[2]),
            rows=np.zeros(m.read.shape[2]),
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
    keep_all: bool = False,
) -> Clockwork:
    """Make a circuit ready to run in steps of `step_s` [s] from its rest point.

    With `keep_all` even what no signal reaches is kept, because a switch may bring it in.
    Raises NotCertified for a rest point that is not certified, KeyError for names the circuit does not have,
    numpy.linalg.LinAlgError for a circuit that cannot be solved.
    """
    linear = unstuck(linearise(system, rest) if small is None else small)
    tame = tamed(linear, step_s)
    ports = [*ports_at(tame, rest)]
    ports += [conductance_port(tame, rest, name, _owner(system, name)) for name in wanted.movable]
    moving = _moving(Wiring(small=tame, ports=tuple(ports), wanted=wanted, step_s=step_s))
    order = blocks_of(moving.ports, effect_within_step(moving, moving.space())[:, : moving.controls].T)
    wiring = replace(moving, ports=tuple(moving.ports[device] for block in order for device in block))
    space = wiring.space() if keep_all else without_idle_states(wiring.space(), wiring.largest())
    first, last = wiring.controls, wiring.controls + len(wanted.asked)
    rows = [system.rows[a] for a, _ in wanted.asked], [system.rows[b] for _, b in wanted.asked]
    return Clockwork(
        machine=machine_of(wiring, space, [len(block) for block in order], tolerance_v),
        small=tame, rest=rest, space=space, step_s=step_s, wanted=wanted, ports=wiring.ports,
        asked_rows=indices(list(range(first, last))),
        asked_rest_v=rest.x[indices(rows[0])] - rest.x[indices(rows[1])],
        asked_moves_v=wiring.reach_v(space).sum(axis=1)[first:last],
        places={port.name: place for place, port in enumerate(wiring.ports)}, is_tamed=tame is not linear,
    )  # fmt: skip


def _moving(wiring: Wiring) -> Wiring:
    """The same with those devices only that a signal can move out of where they are quiet."""
    space = wiring.space()
    low, high = quiet_of(wiring.ports, effect_within_step(wiring, space))
    return replace(wiring, ports=without_unmoved(wiring, space, np.minimum(-low, high)))


def _owner(system: System, name: str) -> str:
    return next(part.owner for part in system.primitives if part.name == name)
