"""An amplifier on the way of the sound without a direct path from its output to its - input."""

from collections.abc import Iterable

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.bias._sections import Section, owner, section_words, sections
from pedalwright.review.rules.bias._troubles import leads_on
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import volts


def look(survey: Survey) -> Iterable[Finding]:
    """The open sections that hear the sound, rest at a limit, and are heard."""
    for section in sections(survey):
        stuck = section.is_open and section.is_railed and not section.is_inside
        if stuck and section.listens and leads_on(survey, section):
            yield _finding(survey, section)


def _finding(survey: Survey, section: Section) -> Finding:
    name, inv = section_words(section.ref), section.amplifier.inv
    capacitors = [
        leaf.ref
        for leaf in survey.view.on(inv)
        if leaf.sort == "C" and leaf.other(inv) == section.amplifier.out
    ]
    beside = f" in parallel with {capacitors[0]}" if capacitors else ""
    return Finding(
        parts=((section.ref if "/" not in section.ref else owner(section.ref)), *capacitors),
        what=(
            f"No resistor leads from the output of {name} back to its - "
            f"input{', only a capacitor' if capacitors else ''}: the output rests at "
            f"{volts(section.output_v)}, one end of its swing."
        ),
        evidence=(
            Evidence(
                name="share of the output that comes back",
                value=100 * section.minus_share,
                unit="%",
                low=0.01,
                basis="slow changes, the parts around the amplifier alone",
            ),
            Evidence(
                name="output at rest",
                value=section.output_v,
                unit="V",
                low=section.low_v,
                high=section.high_v,
            ),
        ),
        cure=(
            f"Put the feedback resistor between output and - input{beside}: as large as the one that feeds "
            "the - input for a gain of one, in proportion larger for more."
        ),
        gravity=None if inv in section.floating or capacitors else Gravity.POOR,
    )


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 opamp TL071 v+=V v-=gnd
IN > C1 100n > U1.non > R1 470k > VB
V > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
U1.inv > R6 10k > C4 1u > gnd
U1.inv > C5 47p > U1.out
U1.out > C2 1u > OUT > R4 100k > gnd
"""

RULE = Rule(
    code="N03",
    name="no-feedback",
    title="An amplifier has no feedback",
    gravity=Gravity.DEAD,
    why=(
        "Without a path from the output to the - input an amplifier multiplies by a hundred thousand: the "
        "smallest offset drives it to a rail. A capacitor alone does not help, for it passes no direct "
        "current."
    ),
    source="formula of the feedback amplifier; measured on the parts around it",
    look=look,
    speaks=(
        Trial(text=SPEAKING, blames=("U1", "C5")),
        Trial(text=SPEAKING.replace("U1.inv > C5 47p > U1.out\n", ""), blames=("U1",)),
    ),
    quiet=(Trial(text=SPEAKING + "U1.inv > R7 100k > U1.out\n"),),
)
