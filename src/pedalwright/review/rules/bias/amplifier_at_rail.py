"""An amplifier whose output rests at the end of its swing, though sound is meant to pass it."""

from collections.abc import Iterable

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.bias._dividers import divider_behind
from pedalwright.review.rules.bias._sections import Section, passive_table, section_words, sections
from pedalwright.review.rules.bias._troubles import is_told_elsewhere, leads_on
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import volts

FOLLOWS = 0.05
"""a section whose input moves with another's output by more than this rests where that one puts it
(house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """The sections that rest at a limit for no reason that another rule tells better."""
    railed = [one for one in sections(survey) if one.is_railed and not one.is_decisive and not one.is_inside]
    for section in railed:
        if not section.listens or is_told_elsewhere(survey, section):
            continue
        if any(_follows(survey, section, other) for other in railed if other is not section):
            continue
        yield _finding(survey, section)


def _follows(survey: Survey, section: Section, other: Section) -> bool:
    """The other one's output is what pushes this one to its rail."""
    table, small = passive_table(survey), survey.small
    column = small.system.branches[other.ref]
    own = (section.amplifier.inv, section.amplifier.non)
    return any(abs(table[small.row(net), column]) > FOLLOWS for net in own)


def _setting(survey: Survey, section: Section) -> tuple[str, ...]:
    """The resistors that set where its + input rests: a divider, and what leads from there."""
    divider = divider_behind(survey, section.amplifier.non)
    feeds = tuple(leaf.ref for leaf in survey.view.on(section.amplifier.non) if leaf.sort == "R")
    return (*((divider.upper.ref, divider.lower.ref) if divider else ()), *feeds)


def _finding(survey: Survey, section: Section) -> Finding:
    side = "lowest" if section.output_v < (section.low_v + section.high_v) / 2 else "highest"
    middle_v = (section.low_v + section.high_v) / 2
    name = section_words(section.ref)
    inputs = f"its inputs rest at {volts(section.non_inverting_v)} (+) and {volts(section.inverting_v)} (-)"
    return Finding(
        parts=(section.ref, *_setting(survey, section)),
        what=(
            f"{name}'s output rests at {volts(section.output_v)}, the {side} it can go; {inputs}. "
            "No sound passes it."
        ),
        evidence=(
            Evidence(
                name="output at rest",
                value=section.output_v,
                unit="V",
                low=section.low_v,
                high=section.high_v,
                basis="the limits are where the output stops",
            ),
        ),
        cure=(
            f"Bring both inputs to the middle of the swing, {volts(middle_v)}: check the parts that lead "
            "from the half supply to the + input, and those from the output back to the - input."
        ),
        gravity=None if leads_on(survey, section) else Gravity.POOR,
    )


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 opamp TL071 v+=V v-=gnd
IN > C1 100n > U1.non > R1 470k > gnd
U1.out > U1.inv
U1.out > C2 1u > OUT > R4 100k > gnd
"""
QUIET = SPEAKING.replace("R1 470k > gnd", "R1 470k > VB\nV > R2 10k > VB > R3 10k > gnd\nVB > C3 47u > gnd")
UNEVEN = QUIET.replace("R3 10k", "R3 1k")

RULE = Rule(
    code="B01",
    name="amplifier-at-rail",
    title="An amplifier rests at the end of its swing",
    gravity=Gravity.DEAD,
    why=(
        "On a single supply the signal swings around the resting voltage of the output. Where that is the "
        "end of the swing, one half of every wave, or all of it, is cut off."
    ),
    source="limits of the output: the type's card; that it must rest off them: common practice, no source",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("U1",)), Trial(text=UNEVEN, blames=("U1",))),
    quiet=(Trial(text=QUIET),),
)
