"""A want of something that is not measured."""

from collections.abc import Iterable

from pedalwright.analysis.wants import wanted_quantities
from pedalwright.review.rule import Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.review.wants import answered_wants
from pedalwright.stages.wording import listed


def look(survey: Survey) -> Iterable[Finding]:
    """Every want whose quantity has no such name."""
    for answer in answered_wants(survey):
        if not answer.known_name:
            near = [f"{name} ({wanted_quantities()[name].title})" for name in answer.nearest]
            most = ", ".join(list(wanted_quantities())[:6])
            yield Finding(
                what=f"Nothing called '{answer.want.quantity}' is measured, so this want is not checked.",
                cure=f"Nearest {'are' if len(near) > 1 else 'is'} {listed(near)}."
                if near
                else f"There are, among others, {most}.",
                spans=(answer.want.span,),
            )


SPEAKING = """
input IN line
output OUT 1M
IN > R1 1k > OUT
want volume.min > -20dB
want dry.gian = 0dB +- 1dB
"""

RULE = Rule(
    code="W02",
    name="want-unknown",
    title="Something is wanted that has no such name",
    gravity=Gravity.POOR,
    why="What has a name nobody knows is checked by nobody: a slip of the pen would pass for a promise kept.",
    source="house rule",
    look=look,
    speaks=(Trial(text=SPEAKING, says="dry.gian"), Trial(text=SPEAKING, says="volume.min")),
    quiet=(Trial(text=SPEAKING.replace("want volume.min > -20dB\n", "").replace("gian", "gain")),),
)
