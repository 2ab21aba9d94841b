"""A transistor on the way of the sound that rests off, fully on, or upside down."""

from collections.abc import Iterable

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.bias._transistors import (
    LEAST_A,
    SATURATED_V,
    Resting,
    driven,
    output_is_silent,
    trouble_of,
)
from pedalwright.review.survey import Survey


def look(survey: Survey) -> Iterable[Finding]:
    """The transistors that hear the sound and cannot follow it."""
    for one in driven(survey):
        trouble = trouble_of(one)
        if trouble is not None:
            yield _finding(survey, one, *trouble)


def _finding(survey: Survey, one: Resting, what: str, cure: str) -> Finding:
    near = [leaf.ref for net in (one.item.control, one.item.bottom) for leaf in survey.view.on(net)]
    return Finding(
        parts=(one.ref, *dict.fromkeys(near)),
        what=f"{one.ref} {what}.",
        evidence=(
            Evidence(name=f"current of {one.ref} at rest", value=one.amps, unit="A", low=LEAST_A),
            Evidence(
                name="voltage across it",
                value=one.across_v,
                unit="V",
                low=SATURATED_V if one.item.family == "bipolar" else None,
            ),
        ),
        cure=cure,
        gravity=Gravity.DEAD if output_is_silent(survey) else None,
    )


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part Q1 npn 2N3904
IN > C1 100n > Q1.b
V > R1 100k > Q1.b > R2 22k > gnd
V > R3 4k7 > Q1.c
Q1.e > R4 1k > gnd
Q1.c > C2 1u > OUT > R5 100k > gnd
"""
OFF = SPEAKING.replace("R2 22k", "R2 2k2")
FULL = SPEAKING.replace("R2 22k", "R2 220k")
TURNED = SPEAKING.replace("Q1.c", "Q1.x").replace("Q1.e", "Q1.c").replace("Q1.x", "Q1.e")

RULE = Rule(
    code="B09",
    name="transistor-at-end",
    title="A transistor rests where it cannot amplify",
    gravity=Gravity.POOR,
    why=(
        "A transistor follows the sound only while some current flows through it and some voltage stands "
        "across it. Off, or fully on, it passes nothing, or only the loudest peaks."
    ),
    source="data sheets: collector-emitter saturation at most 0.2 V; the marks are house rules",
    look=look,
    speaks=(
        Trial(text=OFF, blames=("Q1", "R2"), says="is off"),
        Trial(text=FULL, blames=("Q1", "R2"), says="fully on"),
        Trial(text=TURNED, blames=("Q1",), says="upside down"),
    ),
    quiet=(Trial(text=SPEAKING),),
)
