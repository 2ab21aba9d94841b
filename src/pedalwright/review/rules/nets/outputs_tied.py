"""Two outputs on one net: they fight."""

from collections.abc import Iterable, Mapping

from pedalwright.circuit.primitives import ClippingAmplifier, RegulatedOutput
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.bias._sections import owner, section_words
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import listed


def look(survey: Survey) -> Iterable[Finding]:
    """Every net with more than one amplifier's or regulator's output on it."""
    for net, found in _outputs(survey).items():
        if len(found) > 1:
            names = [section_words(one) for one in found]
            yield Finding(
                parts=tuple(dict.fromkeys(one if "/" not in one else owner(one) for one in found)),
                nets=(net,),
                what=f"The outputs of {listed(names)} are tied together on {net.lstrip('~')}.",
                evidence=(Evidence(name="outputs on the net", value=float(len(found)), unit="", high=1.0),),
                cure="Give each output a resistor of its own (10 kΩ is usual) to where they meet.",
            )


def _outputs(survey: Survey) -> Mapping[str, list[str]]:
    joined, found = survey.view.joined, dict[str, list[str]]()
    for one in survey.analysis.primitives:
        if isinstance(one, ClippingAmplifier | RegulatedOutput):
            found.setdefault(joined.get(one.output, one.output), []).append(one.name)
    return found


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 dual-opamp TL072 v+=V v-=gnd
IN > C1 100n > U1a.non > R1 470k > VB
V > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
U1a.out > U1a.inv
U1b.out > U1b.inv
U1b.non > VB
U1a.out > SUM
U1b.out > SUM
SUM > C2 1u > OUT > R4 100k > gnd
"""
QUIET = SPEAKING.replace("U1a.out > SUM", "U1a.out > R5 10k > SUM").replace(
    "U1b.out > SUM", "U1b.out > R6 10k > SUM"
)

RULE = Rule(
    code="N04",
    name="outputs-tied",
    title="Two outputs are tied together",
    gravity=Gravity.DEAD,
    why=(
        "Each output tries to hold the net where it wants it. They drive against each other at full "
        "current, get hot, and the sound is what neither of them meant."
    ),
    source="common practice, no source",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("U1a", "U1b")),),
    quiet=(Trial(text=QUIET),),
)
