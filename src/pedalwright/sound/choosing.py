"""How many steps a frame a circuit needs."""

import numpy as np

from pedalwright.circuit.circuit import Circuit
from pedalwright.devices.ports import INPUT
from pedalwright.solve.time import codes
from pedalwright.solve.time.machine import Clockwork
from pedalwright.solve.time.relevance import strongest
from pedalwright.sound.ready import made_ready

PLAIN, BENDING = 2, 4
"""for circuits the sound passes straight, and for those whose diodes or transistors bend it: bending makes
overtones above what the steps can hold, and they fold down"""
BENDERS = (codes.JUNCTION, codes.BIPOLAR, codes.FIELD_EFFECT)
LOUD_V = 1.0
"""at the input jack: what bends no part at this level bends none"""


def fewest_times(circuit: Circuit, rate_hz: int) -> int:
    """2 or 4: how many steps a frame do justice to a circuit.

    Raises UnusableSound for one that cannot play.
    """
    return BENDING if _bends(made_ready(circuit, 1.0 / (rate_hz * PLAIN)).work) else PLAIN


def _bends(work: Clockwork) -> bool:
    """Whether the sound itself drives a diode or transistor off its tangent.

    Not an oscillator or a supply.
    """
    m = work.machine
    if INPUT not in work.wanted.sources:
        return False
    moved_v = strongest(work.space)[: len(m.quiet_low), work.wanted.sources.index(INPUT)] * LOUD_V
    stirred = moved_v > np.minimum(-m.quiet_low, m.quiet_high)
    return any(
        port.code in BENDERS and bool(stirred[m.first_control[d] : m.first_control[d + 1]].any())
        for d, port in enumerate(work.ports)
    )
