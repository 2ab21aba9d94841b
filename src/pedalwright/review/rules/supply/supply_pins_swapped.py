"""An amplifier with its supply pins exchanged."""

from collections.abc import Iterable

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named, volts

WORTH_V = 0.5
"""backwards by more than this is no offset (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every package whose v+ rests below its v-."""
    for part in survey.view.parts_of("opamp"):
        fed = survey.rest.volts(part.net("v+")) - survey.rest.volts(part.net("v-"))
        if fed < -WORTH_V:
            yield Finding(
                parts=(part.ref,),
                what=f"{named(survey.bench, part.ref)} is fed backwards: v+ rests {volts(-fed)} below v-.",
                evidence=(Evidence(name="v+ against v-", value=fed, unit="V", low=0.0),),
                cure=f"Exchange v+ and v- on the line of {part.ref}.",
            )


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 opamp TL071 v+=gnd v-=V
IN > C1 100n > U1.non > R1 470k > VB
V > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
U1.out > U1.inv
U1.out > C2 1u > OUT > R4 100k > gnd
"""

RULE = Rule(
    code="S06",
    name="supply-pins-swapped",
    title="A chip's supply pins are exchanged",
    gravity=Gravity.DAMAGE,
    why=(
        "Backwards, the whole chip is one large diode across the supply: it gets hot within a second and "
        "dies."
    ),
    source="common practice, no source; absolute maxima of all amplifiers forbid it",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("U1",)),),
    quiet=(Trial(text=SPEAKING.replace("v+=gnd v-=V", "v+=V v-=gnd")),),
)
