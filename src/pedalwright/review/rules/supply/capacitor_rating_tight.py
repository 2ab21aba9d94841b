"""Polarised capacitors with too little room above their voltage, or with no rating written."""

from collections.abc import Iterable

from pedalwright.devices.kinds.capacitor import is_polarised
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.supply._backwards import all_forwards
from pedalwright.review.survey import Survey
from pedalwright.stages.ratings import ROOM, Strain, standard_rating, strain_on
from pedalwright.stages.wording import farads, listed, named, volts

WORTH_V = 3.0
"""below this every electrolytic will do (house rule: 6.3 V is the smallest usual rating)"""


def look(survey: Survey) -> Iterable[Finding]:
    """The tight ones one by one; those without a rating together."""
    all_forwards(survey)
    found = [strain_on(survey.bench, part.ref) for part in survey.parts_of("capacitor") if is_polarised(part)]
    unrated = [one for one in found if one is not None and one.rated_v is None and one.most_v > WORTH_V]
    for one in found:
        if one is not None and one.is_tight and one.rated_v is not None:
            yield _tight(survey, one, one.rated_v)
    if unrated:
        yield _unrated(unrated)


def _tight(survey: Survey, strain: Strain, rated_v: float) -> Finding:
    wanted = standard_rating(strain.most_v)
    return Finding(
        parts=(strain.part.ref,),
        what=(
            f"{named(survey.bench, strain.part.ref)} is made for {volts(rated_v)} and has "
            f"{volts(strain.most_v)} across it: little room for a supply above its name."
        ),
        evidence=(Evidence(name="voltage across", value=strain.most_v, unit="V", high=rated_v / ROOM),),
        cure=f"Take one of {volts(wanted)}." if wanted else "Take one of the next higher rating.",
    )


def _unrated(found: list[Strain]) -> Finding:
    def needs(one: Strain) -> str:
        rating = standard_rating(one.most_v)
        return f"{one.part.ref} {volts(rating)}" if rating else f"{one.part.ref} {volts(one.most_v * ROOM)}"

    most_v = max(one.most_v for one in found)
    names = [f"{one.part.ref} ({farads(one.part.value or 0.0)})" for one in found]
    return Finding(
        parts=tuple(one.part.ref for one in found),
        what=f"No rated voltage is written for {listed(names)}, with up to {volts(most_v)} across.",
        evidence=tuple(Evidence(name=f"across {one.part.ref}", value=one.most_v, unit="V") for one in found),
        cure=f"Write and buy at least: {', '.join(needs(one) for one in found)}.",
    )


SPEAKING = """
supply V 9V wall
output OUT 1M
V > R1 100 > A > C1 100u (electrolytic, 10V) > gnd
A > R2 10k > OUT > R3 10k > gnd
"""

RULE = Rule(
    code="S03",
    name="capacitor-rating-tight",
    title="A capacitor's rated voltage leaves little room, or is not written",
    gravity=Gravity.NOTE,
    why=(
        "Unregulated adaptors stand well above their name without load, and heat shortens the life of a "
        "part that is used to its limit. A quarter of room is the usual habit."
    ),
    source="common practice, no source (rated voltage at least 1.25 times the working voltage)",
    look=look,
    speaks=(
        Trial(text=SPEAKING, blames=("C1",)),
        Trial(text=SPEAKING.replace(", 10V", ""), blames=("C1",), says="No rated voltage"),
    ),
    quiet=(Trial(text=SPEAKING.replace("10V", "16V")),),
)
