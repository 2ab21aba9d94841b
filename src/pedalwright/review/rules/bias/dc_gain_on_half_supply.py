"""An amplifier that multiplies its own half supply: the capacitor in its leg to ground is missing."""

from collections.abc import Iterable
from math import pi

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.bias._sections import Section, sections
from pedalwright.review.rules.bias._troubles import resting_gain
from pedalwright.review.survey import Survey
from pedalwright.stages.branch import Leaf
from pedalwright.stages.wording import farads, named, volts
from pedalwright.units.preferred import Series, step

CORNER_HZ = 20.0
"""where bass may begin to fall in the leg (house rule)"""
HARMLESS_SHARE = 0.25
"""an output that still has this share of its swing on both sides works (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """The sections with a resistor straight to ground that pushes their output towards a rail."""
    for section in sections(survey):
        found = resting_gain(survey, section)
        if found is None or not section.is_powered or section.floating:
            continue
        if section.room_v > HARMLESS_SHARE * section.swing_v:
            continue
        yield _finding(survey, section, *found)


def _finding(survey: Survey, section: Section, gain: float, leg: Leaf) -> Finding:
    least_f = 1.0 / (2 * pi * CORNER_HZ * leg.value)
    wanted_v = gain * section.non_inverting_v
    return Finding(
        parts=(leg.ref, section.ref),
        what=(
            f"{named(survey.bench, leg.ref)} goes straight to ground, so {section.ref} amplifies its own "
            f"half supply {gain:.3g} times: it would have to rest at {volts(wanted_v)} and is stuck at "
            f"{volts(section.output_v)}."
        ),
        evidence=(
            Evidence(
                name="gain at rest", value=gain, unit="x", high=1.0, basis="measured on the parts around it"
            ),
            Evidence(
                name="output at rest",
                value=section.output_v,
                unit="V",
                low=section.low_v,
                high=section.high_v,
            ),
        ),
        cure=(
            f"Put a capacitor of {farads(step(least_f, Series.E6, 1))} or more between {leg.ref} and "
            f"ground, plus end to {leg.ref}; or take {leg.ref} to the half supply instead."
        ),
        gravity=None if section.is_railed else Gravity.POOR,
    )


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 opamp TL071 v+=V v-=gnd
IN > C1 100n > U1.non > R1 470k > VB
V > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
U1.out > R5 100k > U1.inv > R6 10k > gnd
U1.out > C2 1u > OUT > R4 100k > gnd
"""

RULE = Rule(
    code="B04",
    name="dc-gain-on-half-supply",
    title="An amplifier multiplies its own half supply",
    gravity=Gravity.DEAD,
    why=(
        "A non-inverting amplifier multiplies everything on its + input, the half supply included. A "
        "capacitor in the leg to ground makes the gain one for direct current and leaves it as it is for "
        "sound."
    ),
    source="formula of the non-inverting amplifier; the corner of 20 Hz is a house rule",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("R6", "U1")),),
    quiet=(
        Trial(text=SPEAKING.replace("R6 10k > gnd", "R6 10k > C4 1u > gnd")),
        Trial(text=SPEAKING.replace("R6 10k > gnd", "R6 10k > VB")),
    ),
)
