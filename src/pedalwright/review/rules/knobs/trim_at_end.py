"""A trim that is set to an end of its travel."""

from collections.abc import Iterable

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named

ROOM = 0.5
"""of the dial (0 to 10): nearer to an end nothing is left to trim one way (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every trim as the text sets it."""
    for part in survey.parts_of("trim"):
        place = 5.0 if part.setting is None else float(part.setting)
        if place <= ROOM or place >= 10.0 - ROOM:
            yield Finding(
                parts=(part.ref,),
                what=(
                    f"{named(survey.bench, part.ref)} is set to {place:g}: one way there is nothing left to "
                    "trim."
                ),
                evidence=(
                    Evidence(name="place on the dial", value=place, unit="", low=ROOM, high=10.0 - ROOM),
                ),
                cure="Change the resistors beside it so that it comes to stand near the middle.",
            )


SPEAKING = """
supply V 9V wall
output OUT 1M
trim BIAS 100k linear at 10
V > BIAS.3
BIAS.1 > gnd
BIAS.2 > R1 10k > OUT
"""

RULE = Rule(
    code="K09",
    name="trim-at-end",
    title="A trim stands at its end",
    gravity=Gravity.NOTE,
    why=(
        "A trim takes up what parts differ by, either way. Set to its end, every other build needs what it "
        "cannot give."
    ),
    source="common practice, no source",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("BIAS",)),),
    quiet=(Trial(text=SPEAKING.replace("at 10", "at 6")),),
)
