"""A capacitor that stores enough to burn."""

from collections.abc import Iterable

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.ratings import strain_on
from pedalwright.stages.wording import named, volts

HAZARD_J = 20.0
"""from which equipment standards speak of a hazard at voltages that may be touched (IEC 60950-1, from
memory)
"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every capacitor at rest."""
    survey.rest  # noqa: B018  (raises where nothing can be said)
    for part in survey.parts_of("capacitor"):
        strain = strain_on(survey.bench, part.ref)
        if strain is None or not part.value:
            continue
        stored = 0.5 * part.value * strain.across_v**2
        if stored >= HAZARD_J:
            yield Finding(
                parts=(part.ref,),
                what=(
                    f"{named(survey.bench, part.ref)} holds {stored:.0f} J at "
                    f"{volts(abs(strain.across_v))}: a screwdriver across it melts, a ring on a finger "
                    "burns."
                ),
                evidence=(Evidence(name="energy stored", value=stored, unit="J", high=HAZARD_J),),
                cure=(
                    "A pedal needs a thousandth of it: 100 to 470 µF hold any of them. Before working on "
                    "this one, empty it through a resistor, not through a tool."
                ),
            )


SPEAKING = """
supply V 9V wall
output OUT 1M
V > C1 1F (electrolytic, 16V) > gnd
V > R1 10k > OUT
"""

RULE = Rule(
    code="H02",
    name="stored-energy",
    title="A capacitor stores enough to burn",
    gravity=Gravity.POOR,
    why=(
        "Voltage that may be touched still burns when enough of it flows at once. From some 20 J on a "
        "short melts metal."
    ),
    source="IEC 60950-1, hazardous energy, from memory; energy is C times V squared over two",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("C1",)),),
    quiet=(Trial(text=SPEAKING.replace("C1 1F (", "C1 470u (")),),
    stands=True,
)
