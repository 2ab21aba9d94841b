"""How a circuit begins to play: at rest, swinging already when it swings by itself, or just switched on."""

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.time.machine import Clockwork
from pedalwright.solve.time.tables import State

KICK_V = 0.5
"""how far the first push of a slow oscillator moves the net it moves most; it grows or shrinks to its own
size"""
NUDGE_V = 1e-2
"""of a circuit that would stay on a knife's edge for ever"""
SETTLING_S = 2.0
"""an oscillator swings for so long before the sound begins"""
GROWING = 1e-3
"""a mode that grows faster than this [1/s] swings by itself, or tips over"""


def kick(work: Clockwork, state: State) -> bool:
    """Push a circuit that would not stay at its rest point; False for one that would."""
    push = _push(work)
    if push is None:
        return False
    state.z[:] += push
    return True


def _push(work: Clockwork) -> FloatArray | None:
    """What to add to the states.

    Along the mode that grows fastest, or anywhere when an amplifier was made gentle.
    """
    space = work.space
    if space.size == 0:
        return None
    rates, vectors = np.linalg.eig(space.a)
    fastest = int(np.argmax(rates.real))
    if rates[fastest].real > GROWING:
        return _sized(space.c, vectors[:, fastest].real, KICK_V)
    return _sized(space.c, np.ones(space.size), NUDGE_V) if work.is_tamed else None


def _sized(picks: FloatArray, direction: FloatArray, volts: float) -> FloatArray:
    strongest = float(np.abs(picks @ direction).max(initial=0.0))
    return direction * (volts / strongest) if strongest > 0.0 else direction * 0.0
