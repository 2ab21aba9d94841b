"""Three knobs one above the other with the slope resistor at the left, where the network is that one; else a
ladder from input to output, its knobs as tracks with numbered lugs.
"""

from pedalwright.report.drawing.layout.block import Block
from pedalwright.report.drawing.layout.pen import Pen
from pedalwright.report.drawing.layout.pool import Pool
from pedalwright.report.drawing.layout.tone_stack import stack_block, stack_of
from pedalwright.report.drawing.templates._choosing import signal_ends
from pedalwright.report.drawing.templates.template import Situation, Template


def _draw(here: Situation) -> Block | None:
    ends = signal_ends(here)
    if ends is None or ends.goal is None:
        return None
    pool = Pool(units=here.units, wiring=here.wiring, standing=here.standing, live=ends.live)
    stack = stack_of(pool, ends.start, ends.goal)
    return None if stack is None else stack_block(stack, Pen(here.standing), here.style)


TEMPLATE = Template(
    name="tone-network",
    kinds=("tone-network",),
    says=" ".join((__doc__ or "").split()),
    ends=signal_ends,
    draw=_draw,
)
