"""Whether a rest point is one that the models of its devices reach at all."""

import numpy as np

from pedalwright.circuit.primitives import RegulatedOutput, VoltageSource
from pedalwright.solve.arrays import BoolArray, FloatArray
from pedalwright.solve.system import System

ROOM, ROOM_V = 1.5, 1.0
"""a regulator's pins may stand this many times above all sources together, and this much: house figures, far
above what a circuit at rest can do
"""
BEYOND = "a regulator stands beyond what the sources give: nothing feeds it, or it stands backwards"


def beyond_sources(system: System, x: FloatArray) -> BoolArray:
    """Which rest points `x` (variants, size + 1) have a regulator no source explains, shape (variants,).

    The model of a regulator takes at its input what its output gives, whatever stands there: without a feed
    that leads to kilovolts, which satisfy every equation and mean nothing.
    """
    rows = system.rows
    pins = [
        rows[net]
        for one in system.primitives
        if isinstance(one, RegulatedOutput)
        for net in (one.input, one.output)
    ]
    if not pins:
        return np.zeros(len(x), dtype=bool)
    sources = [one for one in system.primitives if isinstance(one, VoltageSource)]
    given = sum((np.abs(x[:, rows[one.plus]] - x[:, rows[one.minus]]) for one in sources), np.zeros(len(x)))
    found: BoolArray = np.abs(x[:, pins]).max(axis=1) > ROOM * given + ROOM_V
    return found
