"""What the compiled loops read (a machine) and what they write (its state): named tuples of arrays.

A part of a step takes a vector of inputs (the states, the polynomial terms of each outer input, the devices'
remainders at its beginning) to the states at its end and to the rows: what is observed there, the controls of
devices first, then the nets asked for, then the supplies of amplifiers.
"""

from typing import NamedTuple

from pedalwright.solve.arrays import FloatArray, IndexArray

TERMS = 4
"""polynomial terms of an outer input over a step"""
LEVELS = 12
"""level k: 2^-k of a step. The last are for amplifiers that tip over: below a tenth of the time they take for
it there is one solution only."""
DEEPEST = LEVELS - 1
AT_ONCE = LEVELS
"""the level of a part that takes no time: what devices do at the first moment"""
TICKS = 2**DEEPEST
"""parts of the deepest level in a step"""


class Machine(NamedTuple):
    """The fixed tables. Devices are sorted into blocks; a block's controls and outputs stand together."""

    states: int
    drives: int
    """outer inputs"""
    read: FloatArray
    """(levels, states + TERMS * drives + outputs, rows): what each input adds to each row"""
    push: FloatArray
    """(levels, states + TERMS * drives + outputs, states): and to each state"""
    is_modal: int
    """1 where states touch only their neighbours: then, instead of their share of `push`,"""
    keeps: FloatArray
    """(levels, states): what a state keeps of itself, and"""
    trades: FloatArray
    """(levels, states): what it takes from its partner, the next state or the one before, as"""
    partner: IndexArray
    """(states,) says"""
    live: IndexArray
    """(levels,) how many states are felt in the rows; the others have died away by then"""
    reach: FloatArray
    """(levels, outputs, rows): what each remainder at the end of the part adds to each row"""
    lift: FloatArray
    """(levels, outputs, states): and to each state"""
    effect: FloatArray
    """(levels, outputs): how wrong any observed row becomes for one unit by which a remainder misses a
    straight line"""
    block_first: IndexArray
    """(blocks + 1,) first device of each block"""
    code: IndexArray
    """(devices,) laws"""
    first_control: IndexArray
    """(devices + 1,) places among controls; a control's place is its row"""
    first_output: IndexArray
    """(devices + 1,) places among outputs"""
    aux: IndexArray
    """(devices,) row of the supply an amplifier hangs on, or -1"""
    quiet_low: FloatArray
    quiet_high: FloatArray
    """(controls,) while all controls of a block lie between these, its remainders are nothing"""
    bend: FloatArray
    """(controls,) over which change of an unknown the law's slope changes e-fold"""
    knee: FloatArray
    """(controls,) above which an unknown climbs an exponential; infinite for the others"""
    start: FloatArray
    """(controls,) where an unknown of an amplifier begins when it wakes: as at rest"""
    tolerance_v: float
    """how wrong a part of a step may be"""
    finest: int
    """the level at which a part is taken however wrong; deeper ones serve where there is no solution"""
    short_stride: float
    """Newton is done when its stride is shorter than this part of every bend: what is left is its square"""


class State(NamedTuple):
    """What changes from step to step. `counts` holds numbers of events, see the names below."""

    z: FloatArray
    after: FloatArray
    """the states, and what they will be after the part being made"""
    rows: FloatArray
    x: FloatArray
    r: FloatArray
    x_rate: FloatArray
    r_rate: FloatArray
    """how fast unknowns and remainders moved last, per whole step"""
    level: IndexArray
    """(1,) that of the next part"""
    awake: IndexArray
    """(devices,) 1 where the last step left the device outside, or near the edge of, where it is quiet"""
    slot: IndexArray
    """(devices,) place of a device's first control among those being solved for; -1 while it is taken for
    quiet"""
    figures: FloatArray
    """(devices, FIGURES): of the laws; conductances may be moved here"""
    counts: IndexArray
    evaluated: FloatArray
    misfit: FloatArray
    matrix: FloatArray
    """for Newton: (devices, places), (controls,), (controls, controls)"""
    before: FloatArray
    """(4, widest): states, remainders, unknowns and who was awake, as the part of a step being made began"""
    drive: FloatArray
    """(drives, TERMS): polynomials of the outer inputs over the whole step; whoever steps writes them"""
    terms: FloatArray
    """(drives, TERMS): the outer inputs over the part of the step being made"""


STEPS, SOLVED, ITERATIONS, PARTS, FAILED, NOT_FINITE, WHERE = range(7)
"""places in `counts`: steps begun, blocks solved, iterations, parts made, steps given up, steps that left the
numbers, and the first device of the block that had no solution last"""
COUNTS = 7
