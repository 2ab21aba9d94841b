"""A regulator without the capacitors it needs to be stable."""

from collections.abc import Iterable

from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.part import Part
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.rails import capacitance
from pedalwright.stages.wording import farads, named

LEAST_F = 0.09e-6
"""at either side (Minilogic 78LXX sheet: 0.33 uF before and 0.1 uF after in the test circuit)"""
LOW_DROP_F = 20e-6
"""at the output of a low-drop type, or it oscillates (from memory: LM2931 sheet, 22 uF at least)"""
LOW_DROP = ("LM2931",)


def look(survey: Survey) -> Iterable[Finding]:
    """Both sides of every regulator; small series resistors up to the next capacitor count as none."""
    for part in survey.view.parts_of("regulator"):
        after = LOW_DROP_F if part.type in LOW_DROP else LEAST_F
        for pin, word, least in (("in", "input", LEAST_F), ("out", "output", after)):
            if survey.view.net(part, pin) != GROUND:
                found = capacitance(survey.view.on(survey.view.net(part, pin)), {GROUND})
                if found < least:
                    yield _finding(survey, part, word, found, least)


def _finding(survey: Survey, part: Part, word: str, found: float, least: float) -> Finding:
    low_drop = least == LOW_DROP_F
    wanted = 47e-6 if low_drop else 330e-9 if word == "input" else 100e-9
    has = f"only {farads(found)}" if found else "no capacitor"
    return Finding(
        parts=(part.ref,),
        what=f"{named(survey.bench, part.ref)} has {has} at its {word}: it may oscillate.",
        evidence=(Evidence(name=f"capacitance at the {word}", value=found, unit="F", low=least),),
        cure=f"Put {farads(wanted)} or more from its {word} to ground, close to the pins.",
        gravity=Gravity.POOR if low_drop else None,
    )


SPEAKING = """
supply V 9V wall
output OUT 1M
part U1 regulator 78L05 in=V out=A
V > C1 330n > gnd
A > R4 330 > gnd
A > R2 10k > OUT > R3 10k > gnd
"""

RULE = Rule(
    code="S14",
    name="regulator-capacitors",
    title="A regulator lacks a capacitor",
    gravity=Gravity.NOTE,
    why=(
        "A regulator is an amplifier with feedback. Without a capacitor close to its pins it can oscillate "
        "at radio frequencies, which a meter does not show and the sound does."
    ),
    source="makers' test circuits (Minilogic 78LXX: 0.33 uF in, 0.1 uF out); low-drop: from memory",
    look=look,
    speaks=(
        Trial(text=SPEAKING, blames=("U1",), says="output"),
        Trial(text=SPEAKING.replace("78L05", "LM2931") + "A > C2 1u > gnd\n", blames=("U1",)),
    ),
    quiet=(Trial(text=SPEAKING + "A > C2 100n > gnd\n"),),
)
