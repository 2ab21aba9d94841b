"""A regulator with input and output exchanged: the higher voltage stands at its output."""

from collections.abc import Iterable

from pedalwright.circuit.circuit import GROUND
from pedalwright.devices.kinds.regulator import set_volts
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.supply._backwards import backwards
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named


def look(survey: Survey) -> Iterable[Finding]:
    """Told by what the supply reaches, not by voltages: no model of a part in backwards gives these."""
    for part in backwards(survey):
        out = survey.view.net(part, "out")
        grounded = out == GROUND
        where = "ground" if grounded else f"the supply side, {out.lstrip('~')},"
        yield Finding(
            parts=(part.ref,),
            nets=(out,),
            what=f"{named(survey.bench, part.ref)} stands backwards: {where} is on its output.",
            evidence=(Evidence(name="voltage it is made to give", value=set_volts(part), unit="V"),),
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
