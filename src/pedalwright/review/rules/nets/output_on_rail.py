"""An output, or a jack, tied to ground, a supply or the half supply."""

from collections.abc import Iterable
from itertools import combinations

from pedalwright.circuit.circuit import GROUND
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.bias._sections import owner, section_words
from pedalwright.review.survey import Survey
from pedalwright.stages.view import Amplifier
from pedalwright.stages.wording import volts


def look(survey: Survey) -> Iterable[Finding]:
    """Jacks on steady nets, then amplifier outputs on ground or a supply."""
    yield from _supplies(survey)
    yield from _together(survey)
    yield from _jacks(survey)
    fixed = {survey.view.joined[one.net] for one in survey.circuit.supplies} | {GROUND}
    for amplifier in survey.view.amplifiers:
        if amplifier.out in fixed | _fed(survey):
            yield _shorted(amplifier)


def _fed(survey: Survey) -> set[str]:
    """Rails that come through a diode or a resistor from the supply, not from an amplifier."""
    return {far for _, _, far in survey.classes.feeds}


def _shorted(amplifier: Amplifier) -> Finding:
    where = "ground" if amplifier.out == GROUND else f"the supply {amplifier.out.lstrip('~')}"
    ref = amplifier.ref if "/" not in amplifier.ref else owner(amplifier.ref)
    return Finding(
        parts=(ref,),
        nets=(amplifier.out,),
        what=f"The output of {section_words(amplifier.ref)} is tied to {where}.",
        evidence=(Evidence(name="resistance between them", value=0.0, unit="ohm", low=100.0),),
        cure="Take the output off that net and lead it to the next stage.",
    )


def _supplies(survey: Survey) -> Iterable[Finding]:
    """Supplies that a wire or a resistor of no ohms joins to ground."""
    for supply in survey.circuit.supplies:
        # Of a shorted battery, with its inner resistance, another rule tells in amperes.
        if supply.source != "battery" and survey.view.joined[supply.net] == GROUND:
            yield Finding(
                nets=(supply.net,),
                parts=tuple(
                    dict.fromkeys(
                        pin.part.ref
                        for pin in survey.circuit.pins_on[supply.net]
                        if pin.part.kind == "resistor" and not pin.part.value
                    )
                ),
                spans=(supply.span,),
                what=f"The supply {supply.net} is joined to ground: it is shorted.",
                evidence=(Evidence(name="resistance between them", value=0.0, unit="ohm", low=100.0),),
                cure=f"Take out the wire or the part of no ohms between {supply.net} and ground.",
                gravity=Gravity.DAMAGE,
            )


def _together(survey: Survey) -> Iterable[Finding]:
    """Two supplies of different voltage on one net."""
    for first, second in combinations(survey.circuit.supplies, 2):
        on_one = survey.view.joined[first.net] == survey.view.joined[second.net]
        if on_one and first.volts != second.volts and "battery" not in (first.source, second.source):
            yield Finding(
                nets=(first.net, second.net),
                spans=(first.span, second.span),
                what=(
                    f"The supplies {first.net} ({volts(first.volts)}) and {second.net} "
                    f"({volts(second.volts)}) are joined: each shorts the other."
                ),
                evidence=(Evidence(name="resistance between them", value=0.0, unit="ohm", low=100.0),),
                cure=f"Take out the wire or the part of no ohms between {first.net} and {second.net}.",
                gravity=Gravity.DAMAGE,
            )


def _jacks(survey: Survey) -> Iterable[Finding]:
    view, classes = survey.view, survey.classes
    for word, port, net in (
        ("input", survey.circuit.input, view.input_net),
        ("output", survey.circuit.output, view.output_net),
    ):
        if port is None or not (net == GROUND or net in classes.rails):
            continue
        where = "ground" if net == GROUND else f"the supply {net.lstrip('~')}"
        yield Finding(
            nets=(port.net,),
            spans=(port.span,),
            what=f"The {word} jack is tied to {where}: no sound can stand on it.",
            evidence=(Evidence(name="resistance between them", value=0.0, unit="ohm", low=1e3),),
            cure=f"A walk leads from {port.net} straight to {net.lstrip('~')}: a part is missing in it.",
        )


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 opamp TL071 v+=V v-=gnd
IN > C1 100n > U1.non > R1 470k > VB
V > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
U1.out > U1.inv
U1.out > C2 1u > OUT > R4 100k > gnd
"""

RULE = Rule(
    code="N05",
    name="output-on-rail",
    title="An output, a jack or a supply is tied where it cannot be",
    gravity=Gravity.DEAD,
    why=(
        "Ground and supplies do not move. What is tied to them carries no sound, and an amplifier's output "
        "there gives all the current it can."
    ),
    source="common practice, no source",
    look=look,
    speaks=(
        Trial(text=SPEAKING + "U1.out > gnd\n", blames=("U1",)),
        Trial(text=SPEAKING + "OUT > R5 0R > gnd\n", blames=("OUT",)),
        Trial(text=SPEAKING + "V > R5 0R > gnd\n", blames=("R5",), says="shorted"),
        Trial(text=SPEAKING + "supply W 5V wall\nV > R5 0R > W\n", blames=("V", "W"), says="each shorts"),
    ),
    quiet=(Trial(text=SPEAKING),),
)
