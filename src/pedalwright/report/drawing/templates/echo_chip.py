"""The middle of the echo chip as one box, its parts at its pins; its filters are drawn as stages of their
own.
"""

from pedalwright.report.drawing.layout.block import Block
from pedalwright.report.drawing.layout.core import core_block
from pedalwright.report.drawing.layout.planner import Planner
from pedalwright.report.drawing.templates._choosing import standing_ends
from pedalwright.report.drawing.templates.template import Situation, Template
from pedalwright.report.drawing.units import CORE

REFERENCE = "2"


def _draw(here: Situation) -> Block | None:
    core = next((unit for unit in here.units if unit.form == CORE), None)
    if core is None or "12" not in [pin for pin, _, _ in core.pins]:
        return None
    live = frozenset({core.net(REFERENCE)})
    planner = Planner(units=here.units, wiring=here.wiring, standing=here.standing, live=live, keep=())
    return core_block(planner, core, here.style)


TEMPLATE = Template(
    name="echo-chip",
    kinds=("echo-chip",),
    says="A box: supply on top, coder at the left, decoder at the right, reference, stores and time below.",
    ends=standing_ends,
    draw=_draw,
)
