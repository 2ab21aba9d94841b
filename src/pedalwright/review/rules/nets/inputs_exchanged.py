"""An amplifier whose output comes back to its + input: it latches."""

from collections.abc import Iterable

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.bias._sections import OSCILLATORS, Section, owner, section_words, sections
from pedalwright.review.rules.bias._troubles import leads_on
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import volts


def look(survey: Survey) -> Iterable[Finding]:
    """The sections that hear the sound, latch, and rest at a limit."""
    for section in sections(survey):
        stuck = section.is_railed or (not survey.rest.stays and not _swings(survey, section))
        if section.latches and stuck and section.listens and not section.is_inside:
            yield _finding(survey, section)


def _swings(survey: Survey, section: Section) -> bool:
    """A slow oscillator's: an integrator leads back to its + input, or it is one."""
    outputs = {one.amplifier.out for one in sections(survey) if one.kind == "integrator"}
    near = {leaf.other(section.amplifier.non) for leaf in survey.view.on(section.amplifier.non)}
    return section.kind in ("integrator", *OSCILLATORS) or bool(near & outputs)


def _finding(survey: Survey, section: Section) -> Finding:
    name, loud_v = section_words(section.ref), _loudest_v(survey, section)
    holds_v = (section.plus_share - section.minus_share) * section.swing_v
    certain = loud_v < holds_v / 2 and leads_on(survey, section)
    rests = (
        f"it rests stuck at {volts(section.output_v)}"
        if section.is_railed
        else "it does not stay where it should"
    )
    return Finding(
        parts=(section.ref if "/" not in section.ref else owner(section.ref),),
        what=(
            f"{name} feeds {100 * section.plus_share:.0f} % of its output back to its + input and "
            f"{100 * max(section.minus_share, 0.0):.0f} % to its - input: {rests}."
        ),
        evidence=(
            Evidence(
                name="share that comes back to the + input",
                value=100 * section.plus_share,
                unit="%",
                high=100 * max(section.minus_share, 0.0),
                basis="slow changes, the parts around the amplifier alone",
            ),
            Evidence(name="input it takes to free it", value=holds_v, unit="V"),
            Evidence(name="loudest input expected", value=loud_v, unit="V"),
        ),
        cure=f"Exchange the inputs of {name}: the feedback belongs on the - input.",
        gravity=None if certain else Gravity.POOR,
    )


def _loudest_v(survey: Survey, section: Section) -> float:
    port = survey.circuit.input
    return section.heard * port.level_v if port is not None else 0.0


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 opamp TL071 v+=V v-=gnd
IN > C1 100n > U1.inv > R1 470k > VB
V > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
U1.out > U1.non
U1.out > C2 1u > OUT > R4 100k > gnd
"""
QUIET = SPEAKING.replace("U1.inv", "U1.x").replace("U1.non", "U1.inv").replace("U1.x", "U1.non")
GAINFUL = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 opamp TL071 v+=V v-=gnd
IN > C1 1u > R1 10k > U1.non > R5 100k > U1.out
V > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
U1.inv > VB
U1.out > C2 1u > OUT > R4 100k > gnd
"""

RULE = Rule(
    code="N02",
    name="inputs-exchanged",
    title="The feedback of an amplifier is on its + input",
    gravity=Gravity.DEAD,
    why=(
        "Feedback to the - input holds an amplifier; to the + input it pushes it over to one of its rails, "
        "where it stays. Exchanged inputs are the usual cause."
    ),
    source="formula of the feedback amplifier; measured on the parts around it",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("U1",)), Trial(text=GAINFUL, blames=("U1",))),
    quiet=(Trial(text=QUIET),),
)
