"""A resistor that turns more into heat than its size stands."""

from collections.abc import Iterable

from pedalwright.analysis.power.records import Strain
from pedalwright.review.rule import Finding, Gravity, Rule, Trial
from pedalwright.review.rules.supply._rated import SIZES_W, evidence, strains
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named
from pedalwright.units.values import print_value

HALF = 0.5
"""the share of its rating a resistor should be used to at most (common practice, no source)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Resistors and tracks of knobs by the heat at the top of the supply's range."""
    for one in strains(survey, "resistor", "knob"):
        if one.rating == "heat" and one.factor > HALF:
            yield _finding(survey, one)


def _finding(survey: Survey, one: Strain) -> Finding:
    size = next((size for size in SIZES_W if size * HALF >= one.value), None)
    return Finding(
        parts=(one.ref,),
        what=(
            f"{named(survey.bench, one.ref)} turns {print_value(one.value, 'W')} into heat; inside a box it "
            f"stands {print_value(one.limit, 'W')}."
        ),
        evidence=evidence([one]),
        cure=(
            f"Take a part of {print_value(size, 'W')} and keep it off the board."
            if size
            else "No resistor of a pedal stands that: something draws far too much current through it."
        ),
        gravity=None if one.factor > 1.0 else Gravity.NOTE,
    )


SPEAKING = """
supply V 18V wall
output OUT 1M
V > R1 100 > A > R4 150 > gnd
A > R2 10k > OUT > R3 10k > gnd
"""

RULE = Rule(
    code="S08",
    name="resistor-too-hot",
    title="A resistor gets too hot",
    gravity=Gravity.DAMAGE,
    why=(
        "A quarter-watt resistor at its rating is too hot to touch; beyond it, it browns the board, drifts "
        "and in the end opens. Half the rating is the usual limit."
    ),
    source="common practice, no source (half the rating); rating as written, else 0.25 W",
    look=look,
    speaks=(
        Trial(text=SPEAKING, blames=("R1",)),
        Trial(text=SPEAKING.replace("R4 150", "R4 390"), blames=("R4",)),
    ),
    quiet=(Trial(text=SPEAKING.replace("R4 150", "R4 4k7")),),
)
