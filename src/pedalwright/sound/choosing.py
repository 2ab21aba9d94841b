"""How many steps a frame a circuit needs."""

from pedalwright.circuit.circuit import Circuit
from pedalwright.solve.time import codes
from pedalwright.sound.ready import made_ready

PLAIN, BENDING = 2, 4
"""for circuits the sound passes straight, and for those whose diodes or transistors bend it: bending makes overtones
above what the steps can hold, and they fold down"""
BENDERS = (codes.JUNCTION, codes.BIPOLAR, codes.FIELD_EFFECT)


def fewest_times(circuit: Circuit, rate_hz: int) -> int:
    """2 or 4: how many steps a frame do justice to a circuit. Raises UnusableSound for one that cannot play."""
    work = made_ready(circuit, 1.0 / (rate_hz * PLAIN)).work
    return BENDING if any(port.code in BENDERS for port in work.ports) else PLAIN
