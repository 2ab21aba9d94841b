"""The loop over a knob's dial, for the quantities that tell of repeats."""

from math import log10

import numpy as np

from pedalwright.analysis.echo_knobs import repeats_knob_parts, strongest_knob
from pedalwright.analysis.wants._record import LOOP_HZ, Desk, NotKnown
from pedalwright.circuit.part import Part
from pedalwright.echo.repeats import perron, worst_gain
from pedalwright.echo.track import HIGHEST, LOWEST
from pedalwright.solve.arrays import FloatArray

DIAL = np.linspace(LOWEST, HIGHEST, 41)
LEAST = 1e-6
FALL_DB = 60.0


def once_round(desk: Desk) -> float:
    """The largest gain once round the loop within hearing [-]; raises NotKnown without a loop."""
    found = float(worst_gain(desk.loop).max())
    if found < LEAST:
        raise NotKnown("Nothing of a repeat is ever repeated again: there is no loop.")
    return found


def repeats_part(desk: Desk) -> Part:
    """The knob that sets the repeats; raises NotKnown for none."""
    parts = repeats_knob_parts(desk.analysis) or strongest_knob(desk.analysis, desk.cut, desk.loop.gains)
    if not parts:
        raise NotKnown("No knob sets the repeats.")
    return parts[0]


def over_dial(desk: Desk, part: Part) -> FloatArray:
    """The largest gain once round at 41 places of a knob's dial (41,) [-]; of several chips the most that
    any phases of their delays could make.
    """
    track = desk.track(part)
    corner = desk.turning(part).corner(LOOP_HZ)
    gains = np.repeat(desk.loop.gains[None], len(DIAL), axis=0)
    sizes = np.abs(corner.ways(gains, track.grown(DIAL)))
    return np.asarray(perron(sizes).max(axis=1))


def count_of(gain: float) -> float:
    """Repeats until 60 dB down, not rounded; raises NotKnown where they do not fade."""
    if gain >= 1.0:
        raise NotKnown("The repeats do not die away: the loop gives back more than it gets.")
    return FALL_DB / (-20 * log10(gain))
