"""A want of the text that the circuit does not meet."""

from collections.abc import Iterable

from pedalwright.analysis.wants import wanted_quantities
from pedalwright.echo.figures import value
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.brief._wording import evidence_unit
from pedalwright.review.survey import Survey
from pedalwright.review.want_words import want_distance, want_figure
from pedalwright.review.wants import WantAnswer, answered_wants
from pedalwright.stages.wording import ohms

TOLD_BY = {"noise": "noise", "signal-to-noise": "noise", "supply.low": "power", "current": "power"}
"""quantity -> the verb that tells of it in full"""
DELAYS = ("delay", "delay.min", "delay.max")


def look(survey: Survey) -> Iterable[Finding]:
    """Every want whose measured value lies outside its limits."""
    for answer in answered_wants(survey):
        if answer.met is False and answer.value is not None and answer.margin is not None:
            title = wanted_quantities()[answer.want.quantity].title
            yield Finding(
                what=(
                    f"The {title} is {want_figure(answer.value, answer.unit)}; wanted is {answer.want.text}."
                ),
                cure=_cure(answer),
                spans=(answer.want.span,),
                evidence=(
                    Evidence(
                        name=answer.want.quantity,
                        value=answer.value,
                        unit=evidence_unit(answer.unit),
                        low=answer.low,
                        high=answer.high,
                        basis=answer.basis,
                    ),
                ),
            )


def _cure(answer: WantAnswer) -> str:
    value_is, margin = answer.value or 0.0, answer.margin or 0.0
    way = "less" if answer.high is not None and value_is > answer.high else "more"
    if answer.want.quantity in DELAYS:
        resistance = abs(margin) / value("delay_s_per_ohm")
        return (
            f"It takes {want_distance(margin, answer.unit)} {way}: about {ohms(resistance)} {way} at the "
            "time pin there (11.46 ms for every kilohm)."
        )
    start, verb = f"It takes {want_distance(margin, answer.unit)} {way}", TOLD_BY.get(answer.want.quantity)
    if verb is not None:
        return f"{start}; the verb `{verb}` tells what it comes from."
    return f"{start}; change the circuit, or what is wanted of it."


SPEAKING = """
supply V 9V wall
input IN line
output OUT 1M
IN > R1 10k > OUT
OUT > R2 10k > gnd
want gain = 0dB +- 1dB
"""
DELAYED = """
supply V5 5V wall
part U1 echo-chip supply=V5
knob TIME 50k linear at 5
U1.6 > R1 4k7 > TIME.1
TIME.2 > TIME.3 > gnd
want delay.min < 60ms
"""

RULE = Rule(
    code="W01",
    name="want-missed",
    title="The circuit does not do what is wanted of it",
    gravity=Gravity.POOR,
    why=(
        "A want is your own word on what the circuit is for. It is measured on the whole circuit, parts as "
        "written and typical chips; over the dial where the want speaks of the most or the least."
    ),
    source="the text's own brief; typical delay by the maker's table (V1.6, 2010)",
    look=look,
    speaks=(
        Trial(text=SPEAKING, says="-6.06 dB"),
        Trial(text=DELAYED, says="shortest delay"),
        Trial(text=SPEAKING.replace("gain = 0dB +- 1dB", "noise < -130dBV"), says="dBV"),
    ),
    quiet=(
        Trial(text=SPEAKING.replace("R1 10k", "R1 100")),
        Trial(text=DELAYED.replace("R1 4k7", "R1 2k2")),
    ),
)
