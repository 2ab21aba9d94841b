"""Two wants of the same quantity that cannot both be met."""

from collections.abc import Iterable
from itertools import combinations

from pedalwright.circuit.ports import Want
from pedalwright.review.rule import Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey


def look(survey: Survey) -> Iterable[Finding]:
    """Every pair of wants with no value that both would take."""
    for first, second in combinations(survey.circuit.wants, 2):
        if (first.quantity, first.unit) == (second.quantity, second.unit) and _apart(first, second):
            yield Finding(
                what=f"No circuit can meet both '{first.text}' and '{second.text}'.",
                cure="Keep the one that is meant.",
                spans=(first.span, second.span),
            )


def _apart(first: Want, second: Want) -> bool:
    lows = [one.low for one in (first, second) if one.low is not None]
    highs = [one.high for one in (first, second) if one.high is not None]
    return bool(lows and highs) and max(lows) > min(highs)


SPEAKING = """
input IN line
output OUT 1M
IN > R1 1k > OUT
want gain > 3dB
want gain < 1dB
"""

RULE = Rule(
    code="W04",
    name="wants-disagree",
    title="Two wants contradict each other",
    gravity=Gravity.POOR,
    why="One of them will always be missed, whatever is built.",
    source="house rule",
    look=look,
    speaks=(Trial(text=SPEAKING, says="gain > 3dB"),),
    quiet=(Trial(text=SPEAKING.replace("> 3dB", "> -3dB")),),
)
