"""One chip as a builder meets it: its capacitors, and what sets it apart from a typical one."""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from math import isfinite

import numpy as np

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Capacitance, Primitive, Resistance
from pedalwright.echo.one_bit import constants

DECODER_STORE, CODER_STORE, CODER_OUT, CODER_IN = "7", "8", "9", "10"
GAIN_DEVIATIONS = 3.0
"""the largest through gain of the data sheet counts as three standard deviations (house choice)"""
MAY_BE_BELOW_ZERO = ("through_gain_db", "offset_v")


@dataclass(frozen=True, slots=True, kw_only=True)
class OneChip:
    """What the coder, the memory and the decoder's current of one chip are made of, SI units.

    The decoder's integrator (pins 11, 12) is not here: it belongs to the circuit around. `delay_factor` is
    this unit's delay over that of a typical one. Raises ValueError for a figure that is not finite, below
    zero where it cannot be, or a memory without bits.
    """

    coder_farads: float = constants.INTEGRATOR_FARADS
    coder_store_farads: float = constants.STORE_FARADS
    decoder_store_farads: float = constants.STORE_FARADS
    coder_ohms: float = constants.INTEGRATOR_OHMS
    least_step_a: float = constants.LEAST_STEP_A
    full_step_a: float = constants.FULL_STEP_A
    attack_ohms: float = constants.ATTACK_OHMS
    decay_ohms: float = constants.DECAY_OHMS
    equal_bits: int = constants.EQUAL_BITS
    memory_bits: int = constants.MEMORY_BITS
    offset_v: float = constants.OFFSET_V
    noise_v: float = constants.COMPARATOR_NOISE_V
    swing_v: float = constants.SWING_V
    through_gain_db: float = constants.THROUGH_GAIN_DB
    delay_factor: float = 1.0

    def __post_init__(self) -> None:
        for one in fields(self):
            found = getattr(self, one.name)
            if not isfinite(found) or (found < 0 and one.name not in MAY_BE_BELOW_ZERO):
                raise ValueError(f"A chip cannot have {one.name} = {found}.")
        if self.memory_bits < 1 or not 1 <= self.equal_bits <= 8 or not self.delay_factor > 0:
            raise ValueError("A chip needs a memory of a bit or more, 1 to 8 equal bits, and a delay.")


def chip_in(part: Part, primitives: Sequence[Primitive]) -> OneChip:
    """The typical chip with the capacitors a circuit hangs on pins 7, 8, 9 and 10; none is 0 F.

    A resistor across pins 9 and 10 counts with the chip's own. What else hangs on these pins is left out.
    """
    coder = {part.net(CODER_OUT), part.net(CODER_IN)}
    both = (one for one in primitives if isinstance(one, Capacitance | Resistance))
    across = [one for one in both if {one.a, one.b} == coder]
    siemens = sum(1.0 / one.ohms for one in across if isinstance(one, Resistance))
    return OneChip(
        coder_farads=sum(one.farads for one in across if isinstance(one, Capacitance)),
        coder_ohms=1.0 / siemens if siemens else constants.INTEGRATOR_OHMS,
        coder_store_farads=_on(part.net(CODER_STORE), primitives),
        decoder_store_farads=_on(part.net(DECODER_STORE), primitives),
    )


def as_it_comes(chip: OneChip, rng: np.random.Generator) -> OneChip:
    """The same chip out of the bag: delay, through gain and offset as they spread from unit to unit.

    The delay evenly within the 4.8 % measured, the gain normally with the data sheet's largest at three
    standard deviations, the offset with either sign (house choices).
    """
    deviation_db = (constants.MOST_THROUGH_GAIN_DB - constants.THROUGH_GAIN_DB) / GAIN_DEVIATIONS
    return replace(
        chip,
        delay_factor=chip.delay_factor * (1 + constants.UNIT_SPREAD * rng.uniform(-1, 1)),
        through_gain_db=float(rng.normal(chip.through_gain_db, deviation_db)),
        offset_v=float(chip.offset_v * rng.choice((-1.0, 1.0))),
    )


def _on(net: str, primitives: Sequence[Primitive]) -> float:
    return sum(
        one.farads for one in primitives if isinstance(one, Capacitance) and (one.a == net) != (one.b == net)
    )
