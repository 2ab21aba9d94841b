"""A diode, transistor or lamp beyond one of its ratings while everything is as meant."""

from collections.abc import Iterable

from pedalwright.analysis.power.records import Strain
from pedalwright.review.rule import Finding, Gravity, Rule, Trial
from pedalwright.review.rules.supply._rated import evidence, overloaded, strained
from pedalwright.review.survey import Survey

CURES = {
    "forward current": "Put a resistor in series with it, or turn it round where it should block",
    "lamp current": "Put a resistor in series with the lamp",
    "reverse voltage": "Take a type for a higher reverse voltage, or check which way round it stands",
    "heat": "Let less current flow, or take a larger type",
    "base-emitter voltage backwards": "Put a diode across base and emitter, or a resistor in series",
}
USUAL = "Take a type made for more, or lower what it sees"


def look(survey: Survey) -> Iterable[Finding]:
    """Everything but lamps that indicate and zener diodes, which have rules of their own."""
    for ref, found in overloaded(survey, "diode", "bipolar", "fet", "optocoupler").items():
        if survey.circuit.by_ref[ref].kind not in ("led", "zener-diode"):
            yield _finding(survey, ref, sorted(found, key=lambda one: one.rating == "heat"))


def _finding(survey: Survey, ref: str, found: list[Strain]) -> Finding:
    return Finding(
        parts=(ref,),
        what=f"{strained(survey, ref, found)}.",
        evidence=evidence(found),
        cure=f"{CURES.get(found[0].rating, USUAL)}.",
    )


SPEAKING = """
supply V 9V wall
output OUT 1M
V > D1 1N4148 > gnd
V > R2 10k > OUT > R3 10k > gnd
"""
SHORTED = """
supply V 9V wall
output OUT 1M
part Q1 npn 2N3904
V > R1 10k > Q1.b
V > R2 4R7 > Q1.c
Q1.e > gnd
Q1.c > C1 1u > OUT > R3 10k > gnd
"""

RULE = Rule(
    code="S07",
    name="semiconductor-overloaded",
    title="A diode or transistor is beyond its rating",
    gravity=Gravity.DAMAGE,
    why=(
        "Silicon forgives nothing for long: too much current melts it, too much voltage backwards punches "
        "through, too much heat ends both."
    ),
    source="ratings of the type's card, at 40 degrees C inside the box where heat counts",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("D1",)), Trial(text=SHORTED, blames=("Q1",))),
    quiet=(Trial(text=SPEAKING.replace("V > D1 1N4148 > gnd", "gnd > D1 1N4148 > V")),),
)
