"""A zener diode that carries more than it stands: its series resistor is missing or too small."""

from collections.abc import Iterable

from pedalwright.review.rule import Finding, Gravity, Rule, Trial
from pedalwright.review.rules.supply._rated import evidence, overloaded, strained
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import ohms
from pedalwright.units.preferred import Series, step

HELD_A = 5e-3
"""the current a half-watt zener diode holds its voltage at (from memory)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Zener diodes beyond their heat or current."""
    supply_v = max((abs(one.high_v) for one in survey.circuit.supplies), default=0.0)
    for ref, found in overloaded(survey, "diode").items():
        part = survey.circuit.by_ref[ref]
        if part.kind != "zener-diode":
            continue
        held = abs(survey.rest.volts(part.nets[1]) - survey.rest.volts(part.nets[0]))
        spare_v = max(supply_v - (part.value or held), 0.5)
        value = step(spare_v / HELD_A, Series.E12, -1)
        yield Finding(
            parts=(ref,),
            what=f"{strained(survey, ref, found)}. Nothing limits its current.",
            evidence=evidence(found),
            cure=f"Put {ohms(value)} between the supply and it, less by what the circuit itself draws.",
        )


SPEAKING = """
supply V 9V wall
output OUT 1M
gnd > D1 5V1 (zener) > V
V > R2 10k > OUT > R3 10k > gnd
"""
QUIET = SPEAKING.replace("gnd > D1 5V1 (zener) > V", "V > R1 470 > A\ngnd > D1 5V1 (zener) > A")

RULE = Rule(
    code="S12",
    name="zener-without-resistor",
    title="A zener diode has no resistor before it",
    gravity=Gravity.DAMAGE,
    why=(
        "A zener diode holds its voltage by swallowing current. Without a resistor that takes up the "
        "difference it swallows all the supply can give, and burns."
    ),
    source="rating of the card; the holding current is from memory",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("D1",)),),
    quiet=(Trial(text=QUIET),),
)
