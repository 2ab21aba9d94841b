"""Values that no series holds: not to be bought, and often a slip of the pen."""

from collections.abc import Iterable

from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import farads, listed, named, ohms
from pedalwright.units.preferred import Series, nearest_by_ratio, series_of


def look(survey: Survey) -> Iterable[Finding]:
    """Resistors and capacitors whose value is in none of the series E3 to E192, told together."""
    odd = [
        part
        for part in survey.parts_of("resistor", "capacitor")
        if part.value and series_of(part.value) is None
    ]
    if not odd:
        return
    nearest = {part.ref: nearest_by_ratio(part.value or 1.0, Series.E24) for part in odd}
    said = {part.ref: (ohms if part.kind == "resistor" else farads)(nearest[part.ref]) for part in odd}
    names = [named(survey.bench, part.ref) for part in odd]
    yield Finding(
        parts=tuple(part.ref for part in odd),
        what=f"{listed(names)} {'is' if len(odd) == 1 else 'are'} in no series of preferred values.",
        evidence=tuple(
            Evidence(name=part.ref, value=part.value or 0.0, unit="ohm" if part.kind == "resistor" else "F")
            for part in odd
        ),
        cure=f"Take {listed([f'{said[part.ref]} for {part.ref}' for part in odd])}, or two parts for each.",
        changes=tuple(Change(ref=part.ref, value=nearest[part.ref]) for part in odd),
    )


SPEAKING = """
input IN 1k 1V
output OUT 1M
IN > R1 45k > OUT
OUT > R2 10k > gnd
"""

RULE = Rule(
    code="N15",
    name="odd-value",
    title="A value is in no series",
    gravity=Gravity.NOTE,
    why="Parts are sold in the steps of the E series. Another value is two parts or a slip of the pen.",
    source="IEC 60063, preferred number series for resistors and capacitors",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("R1",)),),
    quiet=(Trial(text=SPEAKING.replace("45k", "47k")),),
)
