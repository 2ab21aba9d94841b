"""Direct voltage at the input jack: it flows through the pickup and makes the guitar's knobs crackle."""

from collections.abc import Iterable

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import volts

MOST_V = 0.01
"""at the jack with a pickup plugged in (house rule)"""
OPEN_V = 0.1
"""the same with a high-ohmic source: what leakage may do (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """The resting voltage of the input jack, with the source that the text plugs in."""
    port = survey.circuit.input
    if port is None:
        return
    rests_v = survey.rest.volts(port.net)
    most_v = MOST_V if port.ohms < 100e3 else OPEN_V
    if abs(rests_v) <= most_v:
        return
    yield Finding(
        nets=(port.net,),
        spans=(port.span,),
        what=(
            f"{volts(rests_v)} of direct voltage stands at the input jack, with the {port.source} source "
            "plugged in."
        ),
        evidence=(Evidence(name="input jack at rest", value=rests_v, unit="V", low=-most_v, high=most_v),),
        cure=f"Put a capacitor (47 nF to 1 µF, film) between {port.net} and what follows.",
    )


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part Q1 npn 2N5088
V > R1 1M > Q1.b
IN > R2 10k > Q1.b
Q1.c > V
Q1.e > R3 10k > gnd
Q1.e > C2 1u > OUT > R4 100k > gnd
"""
QUIET = SPEAKING.replace("IN > R2 10k > Q1.b", "IN > C1 100n > R2 10k > Q1.b")

RULE = Rule(
    code="B08",
    name="dc-at-input",
    title="Direct voltage stands at the input jack",
    gravity=Gravity.POOR,
    why=(
        "What rests on the input jack drives a current through the pickup and the guitar's volume knob, "
        "which crackles; and the guitar, in turn, shifts the resting voltage of the first stage."
    ),
    source="common practice, no source; the limits are house rules",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("IN",)),),
    quiet=(Trial(text=QUIET),),
)
