"""The transistor or amplifier on the line, the ladder that turns the phase over it, from its exit back to its
entry.
"""

from pedalwright.report.drawing.layout.ways import entries_of, exits_of
from pedalwright.report.drawing.templates._choosing import signal_ends
from pedalwright.report.drawing.templates.template import Ends, Situation, Template
from pedalwright.report.drawing.units import AMPLIFIER, TRANSISTOR


def _ends(here: Situation) -> Ends | None:
    """From the entry of the one device to its exit."""
    devices = [unit for unit in here.units if unit.form in (AMPLIFIER, TRANSISTOR)]
    if len(devices) != 1:
        return signal_ends(here)
    enter = entries_of(devices[0])[0]
    start, goal = devices[0].net(enter), devices[0].net(exits_of(devices[0], enter)[0])
    if start == goal or here.standing.is_still(start) or here.standing.is_still(goal):
        return signal_ends(here)
    return Ends(start, goal)


TEMPLATE = Template(
    name="phase-shift-oscillator",
    kinds=("phase-shift-oscillator",),
    says=" ".join((__doc__ or "").split()),
    ends=_ends,
)
