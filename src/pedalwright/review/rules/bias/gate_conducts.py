"""A junction field-effect transistor whose gate is held where it conducts like a diode."""

from collections.abc import Iterable

from pedalwright.circuit.primitives import FieldEffectTransistor
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import volts

CONDUCTS_V = 0.4
"""a gate junction of silicon passes microamperes from here on (law of the junction; house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every junction transistor with a channel of its own, as it rests."""
    rest = survey.rest
    primitives = {
        one.name: one for one in survey.analysis.primitives if isinstance(one, FieldEffectTransistor)
    }
    for item in survey.view.transistors:
        part, primitive = survey.circuit.by_ref.get(item.ref), primitives.get(item.ref)
        if part is None or primitive is None or not part.kind.endswith("jfet"):
            continue
        ends = (primitive.source, primitive.drain)
        if len({survey.view.joined.get(net, net) for net in ends}) < len(ends):
            continue  # source and drain tied: it is there to be a diode
        over_v = max(primitive.polarity * (rest.volts(primitive.gate) - rest.volts(net)) for net in ends)
        if over_v > CONDUCTS_V:
            yield _finding(item.ref, over_v, primitive.polarity)


def _finding(ref: str, over_v: float, polarity: int) -> Finding:
    side, way = ("above", "below") if polarity > 0 else ("below", "above")
    return Finding(
        parts=(ref,),
        what=(
            f"The gate of {ref} rests {volts(over_v)} {side} its channel and conducts: the channel is fully "
            "on, and the gate steers nothing."
        ),
        evidence=(
            Evidence(name=f"gate {side} the channel's nearer end", value=over_v, unit="V", high=CONDUCTS_V),
        ),
        cure=(
            f"Hold the gate {way} the source, between there and the pinch-off voltage; or lift source and "
            "drain to the voltage that the gate swings around."
        ),
    )


SHUNT = """
supply V 9V wall
input IN line
output OUT 1M
part Q1 n-jfet 2N5457
V > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 1u > R3 10k > MID
MID > Q1.d
Q1.s > gnd
MID > R4 1M > gnd
VB > R5 100k > Q1.g
MID > C3 1u > OUT
OUT > R6 100k > gnd
"""

RULE = Rule(
    code="B15",
    name="gate-conducts",
    title="A gate conducts",
    gravity=Gravity.POOR,
    why=(
        "The gate of a junction transistor is a diode to its channel. It steers while it is turned off, "
        "between the pinch-off voltage and nothing; beyond that current flows into the signal, and the "
        "channel stays as it is."
    ),
    source="law of the junction; data sheets limit gate current (from memory: 10 mA)",
    look=look,
    speaks=(Trial(text=SHUNT, blames=("Q1",), says="conducts"),),
    quiet=(
        Trial(text=SHUNT.replace("VB > R5 100k", "gnd > R5 100k")),
        Trial(text=SHUNT.replace("Q1.s > gnd", "Q1.s > VB").replace("R4 1M > gnd", "R4 1M > VB")),
    ),
)
