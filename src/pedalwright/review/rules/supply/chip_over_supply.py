"""A chip or regulator with more supply than its absolute maximum."""

from collections.abc import Iterable

from pedalwright.review.rule import Finding, Gravity, Rule, Trial
from pedalwright.review.rules.supply._rated import evidence, overloaded, strained, supply_spans
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import volts

RATINGS = ("supply voltage", "input voltage")


def look(survey: Survey) -> Iterable[Finding]:
    """Amplifiers and regulators over the whole range of the supply."""
    for ref, found in overloaded(survey, "opamp", "regulator", ratings=RATINGS).items():
        yield Finding(
            parts=(ref,),
            spans=supply_spans(survey),
            what=f"{strained(survey, ref, found)}. It will not live.",
            evidence=evidence(found),
            cure=f"Feed it with less than {volts(0.9 * found[0].limit)}, or take a type made for more.",
        )


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 dual-opamp MCP6002 v+=V v-=gnd
IN > C1 100n > U1a.non > R1 470k > VB
V > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
U1a.out > U1a.inv
U1a.out > C2 1u > OUT > R4 100k > gnd
"""

RULE = Rule(
    code="S05",
    name="chip-over-supply",
    title="A chip gets more supply than it stands",
    gravity=Gravity.DAMAGE,
    why=(
        "An absolute maximum is a line not to cross: beyond it the chip may break at once, or on the first "
        "warm day."
    ),
    source="absolute maximum of the type's card",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("U1",)),),
    quiet=(Trial(text=SPEAKING.replace("MCP6002", "TL072")),),
)
