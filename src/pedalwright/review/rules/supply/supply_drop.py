"""A supply filter that takes too much of the supply, or that filters nothing."""

from collections.abc import Iterable
from math import pi

from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.stage import Stage
from pedalwright.stages.wording import farads, hz, named, ohms, volts
from pedalwright.units.preferred import Series, step

MOST_SHARE, MUCH_SHARE = 0.15, 0.35
"""of the voltage before it (house rule)"""
CORNER_HZ = 500.0
"""above this hum and whine of adaptors pass it (house rule)"""
DROP_SHARE = 0.05
FILTER_OHMS, FILTER_F = 100.0, 47e-6
"""a usual filter (common practice, no source)"""
PLAIN_OHMS = 470.0
"""a larger resistor is there to starve, not only to filter"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every recognised filter of one resistor and a capacitor."""
    for stage in survey.stages_of("supply-rc-filter"):
        resistors = [leaf for leaf in stage.leaves("series") if leaf.sort == "R"]
        if len(resistors) == 1:
            yield from _drop(survey, stage, resistors[0].ref, resistors[0].value)


def _drop(survey: Survey, stage: Stage, ref: str, value: float) -> Iterable[Finding]:
    before, after = (abs(survey.rest.volts(stage.nets[name])) for name in ("from", "to"))
    drop = before - after
    store = sum(leaf.value for leaf in stage.leaves("store"))
    if before > 1.0 and drop > MOST_SHARE * before:
        wanted = step(value * DROP_SHARE * before / drop, Series.E12, -1)
        yield Finding(
            parts=(ref,),
            what=(
                f"{named(survey.bench, ref)} takes {volts(drop)} of the {volts(before)} before it: "
                f"{volts(after)} are left."
            ),
            evidence=(
                Evidence(name="drop", value=drop, unit="V", high=MOST_SHARE * before, basis="at rest"),
            ),
            cure=f"Make {ref} {ohms(wanted)}, unless the stage behind it is meant to starve.",
            changes=(Change(ref=ref, value=wanted),),
            gravity=Gravity.POOR if drop > MUCH_SHARE * before else None,
        )
    corner = _corner(value, store) if store else float("inf")
    if corner > CORNER_HZ and value < PLAIN_OHMS:
        yield Finding(
            parts=(ref, *(leaf.ref for leaf in stage.leaves("store"))),
            what=f"The supply filter at {named(survey.bench, ref)} begins at {hz(corner)}: hum passes it.",
            evidence=(Evidence(name="corner", value=corner, unit="Hz", high=CORNER_HZ),),
            cure=(
                f"Take {ohms(FILTER_OHMS)} with {farads(FILTER_F)} or more: it begins at "
                f"{hz(_corner(FILTER_OHMS, FILTER_F))}."
            ),
        )


def _corner(resistance: float, capacitance: float) -> float:
    return 1.0 / (2 * pi * resistance * capacitance)


SPEAKING = """
supply VIN 9V wall
input IN pickup
output OUT 1M
part U1 dual-opamp NE5532 v+=V v-=gnd
VIN > R9 220 > V
V > C9 100u (electrolytic, 16V) > gnd
IN > C1 100n > U1a.non > R1 100k > VB
V > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
U1a.out > U1a.inv
U1a.out > C2 1u > OUT > R4 100k > gnd
"""

RULE = Rule(
    code="S17",
    name="supply-drop",
    title="A supply filter takes too much, or filters too little",
    gravity=Gravity.NOTE,
    why=(
        "The resistor of a supply filter costs voltage, and with it room for the signal; with too small a "
        "capacitor or resistor it lets hum through."
    ),
    source="Ohm's law; corner 1/(2 pi R C); the marks are house rules",
    look=look,
    speaks=(
        Trial(text=SPEAKING, blames=("R9",)),
        Trial(text=SPEAKING.replace("R9 220", "R9 10").replace("C9 100u", "C9 10u"), blames=("R9", "C9")),
    ),
    quiet=(Trial(text=SPEAKING.replace("R9 220", "R9 47")),),
)
