"""Light-dependent resistors in time: which lamp lights which cell, and how the cell follows."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Primitive, Resistance
from pedalwright.devices.kinds import optocoupler
from pedalwright.solve.arrays import FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """A cell by the name of its resistance, and what its lamp's current passes.

    That is the two nets and ohms of a resistance.
    """

    resistance: str
    lamp_plus: str
    lamp_minus: str
    lamp_ohms: float


def cells_in(parts: Sequence[Part], primitives: Sequence[Primitive]) -> tuple[Cell, ...]:
    """The cells of a circuit, in the order of the text."""
    named = {one.name: one for one in primitives if isinstance(one, Resistance)}
    found = []
    for part in parts:
        if part.kind == optocoupler.DEVICE.kind:
            lamp = named[f"{part.ref}/lamp/series"]
            found.append(Cell(resistance=part.ref, lamp_plus=lamp.a, lamp_minus=lamp.b, lamp_ohms=lamp.ohms))
    return tuple(found)


def light_law() -> FloatArray:
    """The cell's law as the compiled loop reads it, see `surroundings.Along.light`."""
    return np.array(
        [
            optocoupler.KNOWN_A,
            1.0 / optocoupler.KNOWN_OHMS,
            optocoupler.SLOPE,
            1.0 / optocoupler.DARK_OHMS,
            optocoupler.DIMMEST_A,
            optocoupler.BRIGHTEST_A,
            optocoupler.FALLING_S,
            optocoupler.RISING_S,
        ]
    )
