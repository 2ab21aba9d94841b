"""An output that swings further than the next pedal can take."""

from collections.abc import Iterable

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.signal._bench import ladder, place
from pedalwright.review.survey import Survey
from pedalwright.solve.gains import exciting_column
from pedalwright.stages.wording import volts

NEXT_TAKES_V = 4.5
"""half of 9 V: no pedal on 9 V takes more without clipping (Ohm's law)"""


def look(survey: Survey) -> Iterable[Finding]:
    """The peak at the output jack for a source of 1 V, no stage going further than it can."""
    port = survey.circuit.output
    if port is None or survey.circuit.input is None:
        return
    band, at = survey.band, place(survey.band, 1e3)
    reached = [
        (_at_output(survey, rung.net, at) * min(rung.limit_v, rung.peaks_v[1])) for rung in ladder(survey)
    ]
    own = abs(band.source_column("input")[at, band.row(port.net)])
    most = min([own, *[peak for peak in reached if peak > 0]]) if reached else 0.0
    if most <= NEXT_TAKES_V:
        return
    knobs = tuple(part.ref for part in survey.circuit.knobs if port.net in part.nets)
    less = most / NEXT_TAKES_V
    yield Finding(
        parts=knobs,
        nets=(port.net,),
        what=f"A source of 1 V peak comes out as {volts(most)}: a pedal on 9 V behind it clips.",
        evidence=(
            Evidence(
                name="peak at the output for 1 V at the source",
                value=most,
                unit="V",
                high=NEXT_TAKES_V,
                basis="1 kHz, knobs as they stand",
            ),
        ),
        cure=f"Turn it down, or take {less:.2g} times off the gain.",
    )


def _at_output(survey: Survey, net: str, at: int) -> float:
    """Gain from a net to the output jack; nothing where the net is not on the way."""
    port, band = survey.circuit.output, survey.band
    assert port is not None
    column = exciting_column(band, net)
    moved = abs(band.table[at, band.row(net), column])
    return float(abs(band.table[at, band.row(port.net), column]) / moved) if moved > 0 else 0.0


STAGE = """
supply VP 15V wall
supply VN -15V wall
input IN pickup
output OUT 1M
part U1 opamp TL071 v+=VP v-=VN
IN > R1 1M > gnd
IN > C1 22n (film) > U1.non > R2 1M > gnd
U1.out > R3 {feedback} > U1.inv > R4 10k > C2 10u > gnd
U1.out > C3 1u > OUT > R5 100k > gnd
"""
RULE = Rule(
    code="L15",
    name="output-too-hot",
    title="The output is too hot for the next pedal",
    gravity=Gravity.NOTE,
    why=(
        "A circuit on a high supply can put out more than a pedal on 9 V can take: then the next one clips, "
        "and no knob on this one seems to help."
    ),
    source="swings of the parts from their sheets; half of 9 V by Ohm's law",
    look=look,
    speaks=(Trial(text=STAGE.format(feedback="100k")),),
    quiet=(Trial(text=STAGE.format(feedback="10k")),),
)
