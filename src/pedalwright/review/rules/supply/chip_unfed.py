"""A chip with too little supply, or none: something between the supply and it is missing or reversed."""

from collections.abc import Iterable

from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.part import Part
from pedalwright.devices.catalogue import device
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named, volts

DEAD_SHARE, POOR_SHARE = 0.35, 0.7
"""of the least supply on the sheet: below the first nothing works, below the second little (house rule: in
pedals TL07x parts work from 7 V, though their sheet begins at 10 V)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Amplifier packages at the supply as written, and unfed regulators."""
    for part in survey.view.parts_of("opamp"):
        figure = device(part.kind).figures_for(part).get("least_supply_v")
        least = figure.value if figure is not None else 0.0
        fed = survey.rest.volts(part.net("v+")) - survey.rest.volts(part.net("v-"))
        if least and -0.5 < fed < POOR_SHARE * least:
            yield _finding(survey, part, fed, least, figure.source if figure else "")
    for part in survey.view.parts_of("regulator"):
        fed = survey.rest.volts(part.net("in"))
        if survey.circuit.supplies and abs(fed) < 1.0:
            yield _finding(survey, part, fed, 1.0, "house rule")


def _finding(survey: Survey, part: Part, fed: float, least: float, source: str) -> Finding:
    pin = "in" if part.kind == "regulator" else ("v-" if survey.view.net(part, "v+") == GROUND else "v+")
    wrong = _reversed_on_the_way(survey, survey.view.net(part, pin))
    blames = (part.ref, wrong) if wrong else (part.ref,)
    cure = (
        f"Turn {wrong} round: as it stands it lets no current through to {part.ref}."
        if wrong
        else f"Follow the way from the supply to {part.net(pin).lstrip('~')}: a part is missing or "
        "too large, or a net has two names."
    )
    return Finding(
        parts=blames,
        what=f"{named(survey.bench, part.ref)} gets {volts(fed)} of supply and needs {volts(least)} or so.",
        evidence=(Evidence(name="supply at rest", value=fed, unit="V", low=least, basis=source),),
        cure=cure,
        gravity=None if fed < DEAD_SHARE * least or part.kind == "regulator" else Gravity.POOR,
    )


def _reversed_on_the_way(survey: Survey, net: str) -> str:
    """A diode that blocks between a net and something higher than it (lower, for a negative one)."""
    view, rest = survey.view, survey.rest
    pending, met = [net], {net}
    while pending:
        here = pending.pop()
        for leaf in view.on(here):
            far = leaf.other(here)
            if far == GROUND or far in met:
                continue
            if leaf.sort == "D" and rest.volts(leaf.b) - rest.volts(leaf.a) > 2.0:
                return leaf.ref
            if leaf.sort in "RL":
                met.add(far)
                pending.append(far)
    return ""


SPEAKING = """
supply VIN 9V wall
input IN pickup
output OUT 1M
part U1 opamp TL071 v+=V v-=gnd
V > D1 1N5817 > VIN
V > C9 100u (electrolytic, 16V) > gnd
IN > C1 100n > U1.non > R1 470k > VB
V > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
U1.out > U1.inv
U1.out > C2 1u > OUT > R4 100k > gnd
"""

RULE = Rule(
    code="S04",
    name="chip-unfed",
    title="A chip gets no supply, or too little",
    gravity=Gravity.DEAD,
    why=(
        "Nothing works without its supply. A polarity diode the wrong way round, a missing resistor or a "
        "net with two names cut it off; a resistor ten times too large starves it."
    ),
    source="least supply: the type's card; the shares are house rules",
    look=look,
    speaks=(
        Trial(text=SPEAKING, blames=("U1", "D1")),
        Trial(text=SPEAKING.replace("V > D1 1N5817 > VIN", "VIN > R9 4k7 > V"), blames=("U1",)),
    ),
    quiet=(Trial(text=SPEAKING.replace("V > D1 1N5817 > VIN", "VIN > D1 1N5817 > V")),),
)
