"""An input that no direct current can reach: nothing says where it rests."""

from collections.abc import Iterable

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.bias._dividers import dividers
from pedalwright.review.rules.bias._sections import owner, section_words, sections
from pedalwright.review.rules.bias._troubles import resting_ohms
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import ohms
from pedalwright.units.preferred import Series, nearest_by_ratio

INPUT_CURRENTS_A = {"opamp": 200e-9, "fet": 1e-9}
"""what an input may take at most: a bipolar amplifier (NE5532 sheet: typical), a gate (from memory)"""
DROP_V = 0.1
"""what that current may lift the input (house rule)"""
MOST_OHMS = 1e6
LEAK_OHMS = 3e8
"""more than this is leakage and no resistor (house rule; the largest usual ones are 22 megohm)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Amplifier inputs, gates and bases among the nets that float."""
    for section in sections(survey):
        if section.is_decisive or section.is_inside:
            continue
        for word, net in (("+", section.amplifier.non), ("-", section.amplifier.inv)):
            if resting_ohms(survey, net) > LEAK_OHMS:
                yield _finding(survey, owner(section.ref), section.ref, f"{word} input", net, "opamp")
    for transistor in survey.view.transistors:
        if resting_ohms(survey, transistor.control) > LEAK_OHMS:
            word = "gate" if transistor.family == "fet" else "base"
            yield _finding(
                survey, transistor.ref, transistor.ref, word, transistor.control, transistor.family
            )


def _finding(survey: Survey, part: str, ref: str, word: str, net: str, family: str) -> Finding:
    blamed = ref if "/" not in ref else part
    near = tuple(dict.fromkeys(leaf.ref for leaf in survey.view.on(net)))
    return Finding(
        parts=(blamed, *near),
        nets=(net,),
        what=(
            f"No direct current can reach the {word} of {section_words(ref)}, so nothing holds it at a "
            "voltage: it drifts until the stage is at a rail."
        ),
        evidence=(
            Evidence(
                name="resistance to any steady voltage",
                value=resting_ohms(survey, net),
                unit="ohm",
                high=LEAK_OHMS,
                basis="leakage alone",
            ),
        ),
        cure=_cure(survey, word, family),
    )


def _cure(survey: Survey, word: str, family: str) -> str:
    half = next((one.at.lstrip("~") for one in dividers(survey)), "")
    where = f"to the half supply {half}" if half else "to the voltage it should rest at"
    if word == "- input":
        return f"Join the {word} to the output by a resistor (10 kΩ to 1 MΩ), or directly for a gain of one."
    if family == "bipolar":
        return f"Join the {word} {where} by a resistor, or put it between two resistors as a divider."
    limit = INPUT_CURRENTS_A.get(family, 1e-9)
    value = nearest_by_ratio(min(DROP_V / limit, MOST_OHMS), Series.E6)
    return f"Join the {word} {where} by a resistor of {ohms(value)} or so."


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 opamp TL071 v+=V v-=gnd
IN > C1 100n > U1.non
U1.out > U1.inv
U1.out > C2 1u > OUT > R4 100k > gnd
V > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
"""
GATE = """
supply V 9V wall
input IN pickup
output OUT 1M
part Q1 n-jfet 2N5457
IN > C1 100n > Q1.g
Q1.d > V
Q1.s > R2 10k > gnd
Q1.s > C2 1u > OUT > R4 100k > gnd
"""

RULE = Rule(
    code="B02",
    name="input-without-path",
    title="An input has nothing that says where it rests",
    gravity=Gravity.DEAD,
    why=(
        "Every input takes or gives a little direct current. Behind a capacitor alone that current has no "
        "way home, so the input creeps to one end and the stage falls silent, at once or after minutes."
    ),
    source="common practice, no source (a resistor from every input to a steady voltage)",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("U1", "C1")), Trial(text=GATE, blames=("Q1",), says="gate")),
    quiet=(
        Trial(text=SPEAKING + "U1.non > R1 470k > VB\n"),
        Trial(text=GATE + "Q1.g > R1 1M > gnd\n"),
    ),
)
