"""A regulator with input and output exchanged: the higher voltage stands at its output."""

from collections.abc import Iterable

from pedalwright.circuit.circuit import GROUND
from pedalwright.devices.kinds.regulator import set_volts
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named, volts

WORTH_V = 0.5


def look(survey: Survey) -> Iterable[Finding]:
    """Regulators whose output rests above their input, or above what they hold, or whose output is ground."""
    for part in survey.view.parts_of("regulator"):
        rest = survey.rest
        into, out, low = (rest.volts(part.net(pin)) for pin in ("in", "out", "gnd"))
        fed = {survey.view.joined[one.net] for one in survey.circuit.supplies}
        backwards = out > into + WORTH_V or survey.view.net(part, "out") in fed
        if backwards or survey.view.net(part, "out") == GROUND:
            yield Finding(
                parts=(part.ref,),
                what=(
                    f"{named(survey.bench, part.ref)} stands backwards: {volts(out - low)} at its output and "
                    f"{volts(into - low)} at its input."
                ),
                evidence=(
                    Evidence(name="output against input", value=out - into, unit="V", high=0.0),
                    Evidence(name="voltage it is made to hold", value=set_volts(part), unit="V"),
                ),
                cure="Exchange its in and out; measure its output before a chip is put behind it.",
            )


SPEAKING = """
supply V 9V wall
output OUT 1M
part U1 regulator 78L05 in=A out=V
V > C1 330n > gnd
A > C2 100n > gnd
A > R4 330 > gnd
A > R2 10k > OUT > R3 10k > gnd
"""

RULE = Rule(
    code="S15",
    name="regulator-backwards",
    title="A regulator is backwards",
    gravity=Gravity.DAMAGE,
    why=(
        "Backwards, the pass transistor conducts through its parasitic diode: what should be protected "
        "gets the whole supply less half a volt, and the echo chip dies above 6.5 V."
    ),
    source="common practice, no source",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("U1",)),),
    quiet=(Trial(text=SPEAKING.replace("in=A out=V", "in=V out=A")),),
)
