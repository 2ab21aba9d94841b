"""Players made of plain functions, for what has nothing to do with circuits."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from pedalwright.circuit.circuit import Circuit
from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.movement import Movement
from pedalwright.sound.wish import Wish


def wire(in_v: FloatArray) -> FloatArray:
    return in_v


@dataclass
class StandIn:
    """A function as a player, its output `latency_frames` late."""

    function: Callable[[FloatArray], FloatArray] = wire
    latency_frames: int = 0
    remarks: Sequence[str] = ()
    blocks: list[int] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._late = np.zeros(self.latency_frames)

    def play(self, in_v: FloatArray) -> FloatArray:
        self.blocks.append(len(in_v))
        both = np.concatenate([self._late, self.function(in_v)])
        self._late = both[len(in_v) :]
        return both[: len(in_v)]


class Echo:
    """One repeat after another: y[n] = x[n] + gain y[n - delay]."""

    def __init__(self, delay_frames: int, gain: float) -> None:
        self._line = np.zeros(delay_frames)
        self._gain = gain

    def __call__(self, in_v: FloatArray) -> FloatArray:
        out = np.empty_like(in_v)
        delay = len(self._line)
        for start in range(0, len(in_v), delay):
            piece = in_v[start : start + delay]
            out[start : start + delay] = piece + self._gain * self._line[: len(piece)]
            self._line = np.concatenate([self._line[len(piece) :], out[start : start + delay]])
        return out


def doubling(circuit: Circuit, movements: tuple[Movement, ...], wish: Wish) -> StandIn:
    """Every circuit doubles; a bypassed one, which has no parts, is a wire. Three frames late."""
    return StandIn(
        (lambda in_v: 2.0 * in_v) if circuit.parts else wire, latency_frames=3 if circuit.parts else 1
    )
