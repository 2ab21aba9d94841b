"""A knob of a resistance that shops do not have: often a slip by a decade."""

from collections.abc import Iterable
from math import log10

from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import ohms

STEPS = (1.0, 2.0, 2.2, 2.5, 4.7, 5.0)
"""steps of a decade in which pots are made (common practice, no source)"""
LEAST_OHMS, MOST_OHMS = 500.0, 2.2e6
"""outside of this carbon pots for panels are hardly sold (common practice, no source)"""
ALIKE = 0.01


def look(survey: Survey) -> Iterable[Finding]:
    """Knobs, not trims, whose value is outside the steps or the range."""
    for part in survey.circuit.knobs:
        if part.kind == "knob" and part.value and not _is_sold(part.value):
            nearest = min(_sold(), key=lambda value: abs(log10(value / part.value)))  # type: ignore[operator]
            yield Finding(
                parts=(part.ref,),
                what=f"A pot of {ohms(part.value)}, as {part.ref} is, is hardly to be had.",
                evidence=(
                    Evidence(name=part.ref, value=part.value, unit="ohm", low=LEAST_OHMS, high=MOST_OHMS),
                ),
                cure=f"Check for a slip of the pen; the nearest that is sold is {ohms(nearest)}.",
                changes=(Change(ref=part.ref, value=nearest),),
            )


def _is_sold(value: float) -> bool:
    return any(abs(value / sold - 1) < ALIKE for sold in _sold())


def _sold() -> tuple[float, ...]:
    found = (step * 10.0**decade for decade in range(2, 7) for step in STEPS)
    return tuple(value for value in found if LEAST_OHMS <= value <= MOST_OHMS)


SPEAKING = """
input IN line
output OUT 1M
knob LEVEL 100 audio at 5
IN > R1 1k > LEVEL.3
LEVEL.1 > gnd
LEVEL.2 > OUT
"""

RULE = Rule(
    code="K30",
    name="knob-value-not-sold",
    title="A knob has a value that is hardly sold",
    gravity=Gravity.NOTE,
    why=(
        "Pots come in few values, about three to a decade, from some hundred ohms to some megohms. Another "
        "value is a slip of the pen, or takes long to find."
    ),
    source="common practice, no source",
    look=look,
    speaks=(
        Trial(text=SPEAKING, blames=("LEVEL",)),
        Trial(text=SPEAKING.replace("100 ", "33k "), blames=("LEVEL",)),
    ),
    quiet=(Trial(text=SPEAKING.replace("LEVEL 100 ", "LEVEL 10k ")),),
)
