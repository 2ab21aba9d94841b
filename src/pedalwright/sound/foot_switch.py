"""The foot switch around the whole pedal, pressed while it plays."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from pedalwright.circuit.circuit import Circuit
from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.movement import ENGAGED, SwitchMovement
from pedalwright.sound.through import RATE_HZ, Player

FADE_S = 0.005
"""from one to the other: the switch is heard, its click is not"""


def bypassed(circuit: Circuit) -> Circuit:
    """The pedal switched out: its source straight into what follows it, and nothing else."""
    joined = circuit.output
    if circuit.input is not None and joined is not None:
        joined = replace(joined, net=circuit.input.net)
    return replace(circuit, parts=(), supplies=(), output=joined, wants=(), points=(), cautions=())


class FootSwitch:
    """A player that plays two, the pedal engaged and bypassed, and lets one of them be heard.

    The pedal goes on playing while it is not heard, so its echoes are there when it is engaged again.
    """

    def __init__(self, engaged: Player, dry: Player, movement: SwitchMovement) -> None:
        self._engaged, self._dry = engaged, dry
        self._late = max(engaged.latency_frames, dry.latency_frames)
        self._waiting = [np.zeros(self._late - one.latency_frames) for one in (engaged, dry)]
        self._times_s, self._shares = _corners(movement)
        self._frames = -self._late

    @property
    def latency_frames(self) -> int:
        """That of the slower of the two."""
        return self._late

    @property
    def remarks(self) -> Sequence[str]:
        """What the pedal itself has to say."""
        return self._engaged.remarks

    def play(self, in_v: FloatArray) -> FloatArray:
        """The next frames, of one, of the other, or on the way between them."""
        heard = []
        for at, one in enumerate((self._engaged, self._dry)):
            both = np.concatenate([self._waiting[at], one.play(in_v)])
            self._waiting[at] = both[len(in_v) :]
            heard.append(both[: len(in_v)])
        time_s = (self._frames + np.arange(len(in_v))) / RATE_HZ
        self._frames += len(in_v)
        share = np.interp(time_s, self._times_s, self._shares)
        return np.asarray(share * heard[0] + (1.0 - share) * heard[1])


def _corners(movement: SwitchMovement) -> tuple[FloatArray, FloatArray]:
    """Times in seconds and how much of the pedal is heard then; straight lines between."""
    shares = [float(movement.position(0.0) == ENGAGED)]
    times_s = [0.0]
    for flip in movement.flips:
        times_s += [flip.at_s, flip.at_s + FADE_S]
        shares += [shares[-1], float(flip.position == ENGAGED)]
    return np.array(times_s), np.array(shares)
