"""Tables of what plays along with a circuit.

Its echo chips, its lamps and light-dependent resistors, its moving knobs.
"""

from typing import NamedTuple

from pedalwright.echo.one_bit.chips import Chips
from pedalwright.echo.one_bit.state import OneBitState
from pedalwright.solve.arrays import FloatArray, IndexArray


class Along(NamedTuple):
    """The fixed tables. Rows are those of the machine's state; what a row holds is a change from rest.

    Chips: `sound`, `supply`, `pin` rows (-1: it never moves) and their volts at rest; `rate` bits a step
    where the clock never moves, else -1; `factor` of this unit's delay; `drive` the machine's input for the
    decoder's current; `ohms` and `delay_s` the corners of the delay law; `lag_s` how late the coder hears.
    Cells: `cell` device, `lamp` row of the volts across the lamp's own resistance, `lamp_rest_v`,
    `lamp_ohms`. Knobs: `moving` devices.
    """

    chips: Chips
    sound: IndexArray
    sound_rest_v: FloatArray
    supply: IndexArray
    supply_rest_v: FloatArray
    pin: IndexArray
    pin_rest_v: FloatArray
    pin_ohms: float
    rate: FloatArray
    factor: FloatArray
    drive: IndexArray
    ohms: FloatArray
    delay_s: FloatArray
    lag_s: float
    cell: IndexArray
    lamp: IndexArray
    lamp_rest_v: FloatArray
    lamp_ohms: FloatArray
    light: FloatArray
    """(8,) the cell's law: its known point [A], [S], exponent, dark [S], dimmest and brightest [A], falling
    and rising time constant [s]"""
    moving: IndexArray
    step_s: float


class Going(NamedTuple):
    """What changes.

    `heard` (chips, 4) the sound at the last steps, the latest last; `change` (moving,) what each moving
    conductance gains a step [S].
    """

    bits: OneBitState
    heard: FloatArray
    change: FloatArray
