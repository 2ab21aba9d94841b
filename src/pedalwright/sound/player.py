"""A circuit that plays: volts at the input jack in, volts at the output jack out, block after block."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pedalwright.circuit.circuit import Circuit
from pedalwright.devices.ports import INPUT
from pedalwright.echo.one_bit.state import OneBitState, fresh, switch_on
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.time.carry import held, nothing, state_holding
from pedalwright.solve.time.machine import TOLERANCE_V
from pedalwright.solve.time.tables import COUNTS
from pedalwright.sound.awakening import SETTLING_S, kick
from pedalwright.sound.choosing import fewest_times
from pedalwright.sound.driving import play_steps
from pedalwright.sound.movement import KnobMovement, Movement, SwitchMovement
from pedalwright.sound.oversampling import CHOICES, Oversampler
from pedalwright.sound.ready import Ready, made_ready, time_ohms
from pedalwright.sound.supply_ramp import SupplyRamp
from pedalwright.sound.surroundings import Going
from pedalwright.sound.telling import is_lost, refusal, remarks_of

CONTROL_STEPS = 64
"""moving knobs are followed in straight pieces of this many steps"""
EASY_TOLERANCE_V = 5e-4
"""66 dB below one volt, for an instant: not heard"""
PIECE_STEPS = 16384
CLOCK_STARTS_S = 0.02
"""after switch-on: what the time pin sees then decides whether the clock starts"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Staged:
    """How a player is to be made: see `Player.of`."""

    rate_hz: int
    times: int
    movements: tuple[Movement, ...]
    probes: tuple[str, ...]
    power_on: bool
    seed: int

    @property
    def step_s(self) -> float:
        """Between two steps of the engine."""
        return 1.0 / (self.rate_hz * self.times)

    @property
    def tolerance_v(self) -> float:
        """How wrong a part of a step may be: with all eight steps a frame, five times less than else."""
        return TOLERANCE_V if self.times >= max(CHOICES) else EASY_TOLERANCE_V

    @property
    def knobs(self) -> tuple[KnobMovement, ...]:
        """The knobs that move."""
        return tuple(one for one in self.movements if isinstance(one, KnobMovement))

    @property
    def switches(self) -> tuple[SwitchMovement, ...]:
        """The switches that move."""
        return tuple(one for one in self.movements if isinstance(one, SwitchMovement))


class Player:
    """One circuit, one channel, its state kept from block to block. Make it with `Player.of`.

    `probed` collects what the nets named as probes do, at every step: arrays (steps, probes) of volts.
    """

    def __init__(self, circuit: Circuit, staged: Staged) -> None:
        self._circuit, self._staged = circuit, staged
        self._ready = self._made_ready(0.0)
        self._oversampler = Oversampler(staged.rate_hz, staged.times)
        self._ramp = SupplyRamp(circuit, staged.step_s) if staged.power_on else None
        self._counts = np.zeros(COUNTS, dtype=np.int64)
        self._stalled: tuple[str, ...] = ()
        self._step = 0
        self._signals = np.zeros(1)
        self.probed: list[FloatArray] = []
        self._bits = fresh(self._ready.chips, seed=staged.seed)
        self._begin()

    @staticmethod
    def of(
        circuit: Circuit,
        *,
        rate_hz: int = 48000,
        oversampling: int | None = None,
        movements: Sequence[Movement] = (),
        probes: Sequence[str] = (),
        power_on: bool = False,
        seed: int = 1,
    ) -> "Player":
        """The circuit ready to play at `rate_hz` frames a second, computed `oversampling` times as often.

        `oversampling` is 1, 2, 4 or 8; None chooses. `movements` say what knobs and switches do from the
        first frame on; `probes` name nets to note in `probed`. With `power_on` the supply comes at the first
        frame and every capacitor is empty. The same `seed` gives the same noise of the chips. Raises
        UnusableSound for a circuit that cannot play.
        """
        staged = Staged(
            rate_hz=rate_hz, times=oversampling or fewest_times(circuit, rate_hz), movements=tuple(movements),
            probes=tuple(probes), power_on=power_on, seed=seed,
        )  # fmt: skip
        return Player(circuit, staged)

    @property
    def oversampling(self) -> int:
        """How many steps a frame."""
        return self._staged.times

    @property
    def latency_frames(self) -> int:
        """Whole frames by which the output lags."""
        return self._oversampler.latency_frames

    @property
    def remarks(self) -> Sequence[str]:
        """What is to be said of what was played so far."""
        return remarks_of(self._ready, self._counts + self._state.counts, self._stalled)

    def play(self, in_v: FloatArray) -> FloatArray:
        """The next frames (frames,) through the circuit.

        Raises UnusableSound when no solution is found any more.
        """
        steps = self._oversampler.up(np.asarray(in_v, dtype=np.float64))
        self._signals = np.concatenate([self._signals, steps])
        count = max(len(self._signals) - 3, 0)
        heard = self._run(count)
        self._signals = self._signals[count:]
        return self._oversampler.down(heard, len(in_v))

    def _made_ready(self, time_s: float) -> Ready:
        """The circuit with knobs and switches as they stand at a time."""
        settings: dict[str, float | str] = {one.ref: one.position(time_s) for one in self._staged.switches}
        settings |= {one.ref: float(one.positions(np.array([time_s]))[0]) for one in self._staged.knobs}
        return made_ready(
            self._circuit.with_settings(settings), self._staged.step_s,
            turned=[one.ref for one in self._staged.knobs], probes=self._staged.probes,
            power_on=self._staged.power_on, tolerance_v=self._staged.tolerance_v,
            keep_all=bool(self._staged.switches),
        )  # fmt: skip

    def _begin(self) -> None:
        ready = self._ready
        self._going = _going(ready, self._bits)
        if self._ramp is not None:
            self._state = state_holding(ready.work, nothing(ready.work))
            for chip in range(len(ready.chips)):
                switch_on(self._bits, chip, np.inf)
        else:
            self._state = ready.work.state_at_rest()
            if kick(ready.work, self._state):
                self._settle()
        self._first = True

    def _settle(self) -> None:
        """Let what swings by itself come to its swing, in silence."""
        steps = int(SETTLING_S / self._staged.step_s)
        told = np.zeros((steps, len(self._ready.told)))
        silence = np.zeros((len(self._ready.work.wanted.sources), steps + 3))
        self._steps_through(silence, told)

    def _run(self, count: int) -> FloatArray:
        """So many steps; gives the output at each, the very first value included."""
        pieces = []
        if self._first and count:
            pieces.append(self._now()[None, :])
            self._first = False
        done = 0
        while done < count:
            length = min(self._piece(), count - done)
            pieces.append(self._stretch(self._signals[done : done + length + 3]))
            done += length
        told = np.concatenate(pieces) if pieces else np.zeros((0, len(self._ready.told)))
        if self._staged.probes:
            self.probed.append(told[:, 1:])
        return np.ascontiguousarray(told[:, 0])

    def _now(self) -> FloatArray:
        return np.asarray(self._ready.told_rest_v + self._state.rows[self._ready.told])

    def _piece(self) -> int:
        """How many steps may be made before a knob, a switch or a starting clock wants attention."""
        step_s, longest = self._staged.step_s, PIECE_STEPS
        now_s = self._step * step_s
        if any(one.moves_until_s >= now_s for one in self._staged.knobs):
            longest = CONTROL_STEPS
        flips = [flip.at_s for one in self._staged.switches for flip in one.flips]
        flips += [CLOCK_STARTS_S] if self._ramp is not None else []
        ahead = [round(at_s / step_s) - self._step for at_s in flips]
        return min([longest, *(steps for steps in ahead if steps > 0)])

    def _stretch(self, signals: FloatArray) -> FloatArray:
        """Steps without a flip in them, driven by `signals` (steps + 3,)."""
        self._flip()
        steps = len(signals) - 3
        self._turn(steps)
        told = np.zeros((steps, len(self._ready.told)))
        wanted = self._ready.work.wanted.sources
        rows = [signals] if INPUT in wanted else []
        rows += [] if self._ramp is None else self._ramp.changes(self._step, steps)
        self._steps_through(np.array(rows).reshape(len(wanted), steps + 3), told)
        self._step += steps
        self._start_clocks()
        return told + self._ready.told_rest_v

    def _steps_through(self, signals: FloatArray, told: FloatArray) -> None:
        """The compiled loop over all steps; where one has no solution the state waits."""
        ready, at = self._ready, 0
        while at < len(told):
            at = play_steps(
                ready.work.machine,
                self._state,
                ready.along,
                self._going,
                signals,
                ready.told,
                told,
                at,
            )
            if at < len(told):
                told[at] = self._state.rows[ready.told]
                at += 1
                if is_lost(self._counts + self._state.counts):
                    raise refusal(ready, self._counts + self._state.counts)

    def _turn(self, steps: int) -> None:
        """Set off every moving half of a knob towards where it will be."""
        time_s = np.array([self._step, self._step + steps]) * self._staged.step_s
        positions = {one.ref: one.positions(time_s) for one in self._staged.knobs}
        for at, half in enumerate(self._ready.halves):
            now, then = 1.0 / half.track.ohms_at(positions[half.track.ref])[:, half.half]
            self._state.figures[half.place, 0] = now
            self._going.change[at] = (then - now) / steps

    def _flip(self) -> None:
        """Throw the switches that are to be thrown now: the same charges in a circuit connected otherwise."""
        step_s = self._staged.step_s
        due = any(
            round(flip.at_s / step_s) == self._step and self._step > 0
            for one in self._staged.switches
            for flip in one.flips
        )
        if not due:
            return
        charges, cells = held(self._ready.work, self._state), self._cells()
        self._counts += self._state.counts
        self._ready = self._made_ready((self._step + 0.5) * step_s)
        self._state = state_holding(self._ready.work, charges)
        self._state.figures[self._ready.along.cell, 0] = cells
        self._going = self._going._replace(change=np.zeros(len(self._ready.along.moving)))

    def _cells(self) -> FloatArray:
        return np.array(self._state.figures[self._ready.along.cell, 0])

    def _start_clocks(self) -> None:
        """Shortly after switch-on the clocks start, or do not."""
        along = self._ready.along
        if self._ramp is None or self._step != round(CLOCK_STARTS_S / self._staged.step_s):
            return
        pins = along.pin_rest_v + np.where(along.pin >= 0, self._state.rows[along.pin], 0.0)
        supplies = along.supply_rest_v + np.where(along.supply >= 0, self._state.rows[along.supply], 0.0)
        for chip, ohms in enumerate(time_ohms(pins, supplies)):
            if not switch_on(self._bits, chip, float(ohms)):
                self._stalled = (*self._stalled, self._ready.taps[chip].ref)


def _going(ready: Ready, bits: OneBitState) -> Going:
    """What plays along, at its beginning: the chips hear what stands at rest."""
    heard = np.repeat(ready.along.sound_rest_v[:, None], 4, axis=1)
    return Going(bits=bits, heard=heard, change=np.zeros(len(ready.along.moving)))
