"""Input current of an amplifier through a large bias resistor: the output rests off its place."""

from collections.abc import Iterable

from pedalwright.devices.catalogue import device
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.bias._sections import Section
from pedalwright.review.rules.bias._troubles import hearing_sections, resting_ohms
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import ohms, volts
from pedalwright.units.preferred import Series, step
from pedalwright.units.values import print_value

WORTH_V, MUCH_SHARE = 0.25, 0.2
"""a typical shift worth knowing, and the share of the swing that will disappoint (house rule)"""
BIPOLAR_A = 1e-9
"""an input that takes less than this is a gate's: its current makes no difference"""


def look(survey: Survey) -> Iterable[Finding]:
    """Sections whose own input current moves their output."""
    for section in hearing_sections(survey):
        part = section.amplifier.part
        card = device(part.kind).figures_for(part)
        bias_a = card["bias_a"].value if "bias_a" in card else 0.0
        if abs(bias_a) > BIPOLAR_A and section.minus_share > 0 and not section.floating:
            yield from _shifted(survey, section, bias_a, card["bias_a"].source)


def _shifted(survey: Survey, section: Section, bias_a: float, source: str) -> Iterable[Finding]:
    behind_ohms = resting_ohms(survey, section.amplifier.non)
    shift_v = abs(bias_a) * behind_ohms / section.minus_share
    if shift_v < WORTH_V:
        return
    value = step(WORTH_V / 2 * section.minus_share / abs(bias_a), Series.E6, -1)
    resistors = [leaf.ref for leaf in survey.view.on(section.amplifier.non) if leaf.sort == "R"]
    way = "down" if bias_a > 0 else "up"
    yield Finding(
        parts=(section.ref, *resistors),
        what=(
            f"The + input of {section.ref} takes {print_value(abs(bias_a), 'A')} through "
            f"{ohms(behind_ohms)}, which moves its output {volts(shift_v)} {way}; another of the type may "
            "take several times as much."
        ),
        evidence=(
            Evidence(
                name="shift of the output", value=shift_v, unit="V", high=WORTH_V, basis=f"current: {source}"
            ),
            Evidence(name="resistance at the + input", value=behind_ohms, unit="ohm"),
        ),
        cure=(
            f"Take {ohms(value)} or less where the + input gets its resting voltage, or an amplifier with "
            "field-effect inputs."
        ),
        gravity=Gravity.POOR if shift_v > MUCH_SHARE * section.swing_v else None,
    )


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 dual-opamp NE5532 v+=V v-=gnd
IN > C1 100n > U1a.non > R1 2M2 > VB
V > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
U1a.out > U1a.inv
U1a.out > C2 1u > OUT > R4 100k > gnd
"""

RULE = Rule(
    code="B12",
    name="input-current-offset",
    title="An amplifier's own input current moves its rest",
    gravity=Gravity.NOTE,
    why=(
        "Bipolar inputs take a steady current, far more than field-effect ones. Through a large resistor it "
        "becomes volts, and it differs from part to part."
    ),
    source="input current: the type's card; the shift worth telling is a house rule",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("U1a", "R1")),),
    quiet=(
        Trial(text=SPEAKING.replace("NE5532", "TL072")),
        Trial(text=SPEAKING.replace("R1 2M2", "R1 100k")),
    ),
)
