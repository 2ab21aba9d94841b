"""A start-up transistor whose capacitor stays charged when the supply is gone for a moment."""

from collections.abc import Iterable
from math import log

from pedalwright.circuit.circuit import GROUND
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._trial import STARTED, echo, fixed
from pedalwright.review.survey import Survey
from pedalwright.stages.branch import Leaf
from pedalwright.stages.stage import Stage
from pedalwright.stages.wording import named
from pedalwright.units.values import print_value

BRIEF_S = 0.5
"""a supply may be gone for so long when a plug is moved; the switch must have armed again by then
(house rule)
"""
BASE_ON_V, BASE_OFF_V = 0.65, 0.3
"""base voltages between which the transistor lets go (from memory)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every start-up transistor with a capacitor at its base."""
    for stage in survey.stages_of("delay-time-network"):
        for ref in stage.with_role("start-up transistor"):
            yield from _of_transistor(survey, stage, ref)


def _of_transistor(survey: Survey, stage: Stage, ref: str) -> Iterable[Finding]:
    transistor = next(one for one in survey.view.transistors if one.ref == ref)
    leaves = survey.view.on(transistor.control)
    holding = [leaf for leaf in leaves if leaf.sort == "C" and leaf.other(transistor.control) == GROUND]
    if not holding or any(_empties(survey, leaf, transistor.control) for leaf in leaves):
        return
    bleeding = [leaf for leaf in leaves if leaf.sort == "R"]
    siemens = sum(1.0 / leaf.value for leaf in bleeding if leaf.value > 0)
    if siemens <= 0:
        return
    time_s = sum(leaf.value for leaf in holding) / siemens * log(BASE_ON_V / BASE_OFF_V)
    if time_s > BRIEF_S:
        rail = next(
            (
                leaf.other(transistor.control)
                for leaf in bleeding
                if _is_rail(survey, leaf, transistor.control)
            ),
            "",
        )
        yield Finding(
            parts=(ref, *(leaf.ref for leaf in holding)),
            what=(
                f"{ref} helps the clock to start, but {named(survey.bench, holding[0].ref)} needs "
                f"{print_value(time_s, 's')} without supply before it can do so again."
            ),
            evidence=(Evidence(name="time to arm again", value=time_s, unit="s", high=BRIEF_S),),
            cure=(
                f"Put a diode such as a 1N4148 from the base of {ref} to {rail or 'its supply'}, cathode to "
                "the supply: it empties the capacitor when the supply falls."
            ),
        )


def _is_rail(survey: Survey, leaf: Leaf, base: str) -> bool:
    return leaf.other(base) in survey.classes.rails


def _empties(survey: Survey, leaf: Leaf, base: str) -> bool:
    """A diode from the base to a rail."""
    return leaf.sort == "D" and leaf.a == base and leaf.b in survey.classes.rails


ARMED = fixed(STARTED)

RULE = Rule(
    code="E03",
    name="start-switch-rearms",
    title="The start-up switch does not arm itself again in time",
    gravity=Gravity.POOR,
    why=(
        "The switch works because its capacitor is empty when the supply comes. After a short loss of "
        "supply it is still charged: the time pin is pulled down at once, and the clock may lock."
    ),
    source="a start-up circuit discussed by builders of this chip, 2020; times computed",
    look=look,
    speaks=(Trial(text=ARMED.replace("Q1.b > D1 1N4148 > V5\n", ""), blames=("Q1", "C21")),),
    quiet=(Trial(text=ARMED), Trial(text=echo())),
)
