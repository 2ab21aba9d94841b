"""The templates by stage kind, and the block of a stage by its template or by the ladder that always
works.
"""

from functools import cache

from pedalwright.registry import load_family
from pedalwright.report.drawing.layout.block import Block, make_block
from pedalwright.report.drawing.layout.planner import Planner
from pedalwright.report.drawing.templates._choosing import ladder_ends
from pedalwright.report.drawing.templates.template import Ends, Situation, Template


def templates() -> tuple[Template, ...]:
    """Every template, in the order of its file."""
    return load_family("pedalwright.report.drawing.templates", Template, "TEMPLATE", key="name")


@cache
def template_for(kind: str) -> Template | None:
    """The template of a stage kind; None for a kind drawn as a plain ladder."""
    return next((template for template in templates() if kind in template.kinds), None)


def block_of(here: Situation) -> Block:
    """The picture of a stage."""
    template = template_for(here.stage.kind)
    if template is not None and template.draw is not None and (made := template.draw(here)) is not None:
        return made
    return ladder(here, ends_of_stage(here))


def ends_of_stage(here: Situation) -> Ends:
    """Where the stage's line begins and ends."""
    template = template_for(here.stage.kind)
    return (template.ends(here) if template is not None else None) or any_ends(here)


def ladder(here: Situation, ends: Ends) -> Block:
    """The stage as a ladder between two nets."""
    planner = Planner(
        units=here.units,
        wiring=here.wiring,
        standing=here.standing,
        live=ends.live,
        keep=here.standing.points,
    )
    return make_block(planner, ends.start, ends.goal, here.style)


def any_ends(here: Situation) -> Ends:
    """Ends for a stage of no known shape: it stands at a net, whichever there is."""
    return ladder_ends(here) or Ends(here.nets()[0], None, frozenset({here.nets()[0]}))
