"""A knob that turns the wrong way."""

from collections.abc import Iterable

from pedalwright.analysis.knob_records import Heard, KnobAnswer
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.knobs._turned import MIX, SILENT_DB, answers, heard_at_jack, is_backwards
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named
from pedalwright.units.values import print_value


def look(survey: Survey) -> Iterable[Finding]:
    """Every knob whose figure is heard at the jack and goes one way only."""
    for answer in answers(survey):
        heard = heard_at_jack(answer)
        if heard is not None and is_backwards(answer) and not _falls_silent(answer, heard):
            yield _finding(survey, answer, heard)


def _falls_silent(answer: KnobAnswer, heard: Heard) -> bool:
    """A knob that is silent at 10 is told of by the rule on knobs that silence the pedal."""
    by_other = answer.kind == "knob" and answer.role != MIX and heard.unit == "dB"
    return by_other and "at 1 kHz" in heard.name and heard.at_10 < heard.at_0 - SILENT_DB


def _finding(survey: Survey, answer: KnobAnswer, heard: Heard) -> Finding:
    start, end = _shown(heard.at_0, heard.unit), _shown(heard.at_10, heard.unit)
    return Finding(
        parts=(answer.ref,),
        what=(
            f"{named(survey.bench, answer.ref)} works backwards: clockwise the {heard.name} falls from "
            f"{start} to {end}."
        ),
        evidence=(
            Evidence(name=f"{heard.name} at 0", value=heard.at_0, unit=heard.unit),
            Evidence(name=f"{heard.name} at 10", value=heard.at_10, unit=heard.unit),
        ),
        cure=_cure(answer),
    )


def _shown(value: float, unit: str) -> str:
    if unit in ("s", "Hz"):
        return print_value(value, unit)
    return f"{value:.1f} {unit}"


def _cure(answer: KnobAnswer) -> str:
    if answer.wiring != "divider":
        return f"Exchange what is on lugs 1 and 3 of {answer.ref}, the wire to its wiper included."
    return f"Exchange lugs 1 and 3 of {answer.ref}."


SPEAKING = """
input IN buffered
output OUT 1M
knob TONE 100k linear at 5
IN > R1 4k7 > OUT
OUT > C1 47n > TONE.3
TONE.2 > TONE.1 > gnd
"""

RULE = Rule(
    code="K07",
    name="knob-works-backwards",
    title="A knob turns the wrong way",
    gravity=Gravity.NOTE,
    why="Clockwise means more: louder, brighter, longer, faster. Hands expect it, and labels are printed so.",
    source="common practice, no source",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("TONE",), says="5 kHz"),),
    quiet=(Trial(text=SPEAKING.replace("TONE.3\nTONE.2 > TONE.1 > gnd", "TONE.1\nTONE.2 > TONE.3 > gnd")),),
)
