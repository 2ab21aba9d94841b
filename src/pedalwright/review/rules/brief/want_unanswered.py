"""A want of something that has no certain figure in this circuit."""

from collections.abc import Iterable

from pedalwright.review.rule import Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.review.wants import answered_wants


def look(survey: Survey) -> Iterable[Finding]:
    """Every want whose quantity is known but could not be measured here."""
    for answer in answered_wants(survey):
        if answer.known_name and answer.met is None:
            yield Finding(
                what=f"Whether '{answer.want.text}' is met is not known. {answer.why_not}",
                cure="Mend that first, or take the want out.",
                spans=(answer.want.span,),
            )


NO_CHIP = """
input IN line
output OUT 1M
IN > R1 1k > OUT
want delay.max > 600ms
"""
WRONG_UNIT = """
input IN line
output OUT 1M
IN > R1 1k > OUT
want gain = 3ms
"""

RULE = Rule(
    code="W03",
    name="want-unanswered",
    title="Whether a want is met cannot be told",
    gravity=Gravity.NOTE,
    why="Where a figure does not exist or could not be certified, no verdict is given rather than a guess.",
    source="house rule",
    look=look,
    speaks=(Trial(text=NO_CHIP, says="no echo chip"), Trial(text=WRONG_UNIT, says="decibels")),
    quiet=(Trial(text=WRONG_UNIT.replace("3ms", "0dB +- 1dB")),),
)
