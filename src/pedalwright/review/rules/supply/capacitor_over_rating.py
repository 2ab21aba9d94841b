"""A capacitor with more across it than it is made for."""

from collections.abc import Iterable

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.supply._backwards import all_forwards
from pedalwright.review.rules.supply._rated import supply_spans
from pedalwright.review.survey import Survey
from pedalwright.stages.ratings import standard_rating, strain_on
from pedalwright.stages.wording import named, volts


def look(survey: Survey) -> Iterable[Finding]:
    """Every capacitor whose written rating is below what stands across it."""
    all_forwards(survey)
    for part in survey.parts_of("capacitor"):
        strain = strain_on(survey.bench, part.ref)
        if strain is None or not strain.is_over or strain.rated_v is None:
            continue
        wanted = standard_rating(strain.most_v)
        yield Finding(
            parts=(part.ref,),
            spans=supply_spans(survey),
            what=(
                f"{named(survey.bench, part.ref)} is made for {volts(strain.rated_v)}, and "
                f"{volts(strain.most_v)} stand across it."
            ),
            evidence=(Evidence(name="voltage across", value=strain.most_v, unit="V", high=strain.rated_v),),
            cure=f"Take one of {volts(wanted)}."
            if wanted
            else "Take one rated a quarter above that voltage.",
        )


SPEAKING = """
supply V 18V wall
output OUT 1M
V > R1 100 > A > C1 100u (electrolytic, 16V) > gnd
A > R2 10k > OUT > R3 10k > gnd
"""

RULE = Rule(
    code="S02",
    name="capacitor-over-rating",
    title="A capacitor gets more voltage than it is made for",
    gravity=Gravity.DAMAGE,
    why=(
        "Above its rating the oxide of an electrolytic gives way: it draws current, heats up and vents or "
        "bursts. Wear eye protection at the first power-up."
    ),
    source="rating written on the part; resting voltage of the full circuit",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("C1",)),),
    quiet=(Trial(text=SPEAKING.replace("16V", "25V")),),
)
