"""A knob that silences the pedal where nobody expects it, or shorts what drives it."""

from collections.abc import Iterable

import numpy as np

from pedalwright.analysis.knob_records import Heard, KnobAnswer
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.knobs._turned import MIX, SILENT_DB, answers
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named

FADES = ("level knob", "mix knob", "repeats knob", "depth knob")
"""these may go to silence at 0, and a mix fades one of two sounds away at either end"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every knob whose level at the output is known over its dial."""
    for answer in answers(survey):
        if answer.kind != "knob":
            continue
        for heard in answer.heard:
            if heard.sort == "level" and "the way from" not in heard.name and "at 1 kHz" in heard.name:
                yield from _judged(survey, answer, heard)
                break


def _judged(survey: Survey, answer: KnobAnswer, heard: Heard) -> Iterable[Finding]:
    values = heard.values
    if not np.isfinite(values).all() or answer.role == MIX:
        return
    silent = values < values.max() - SILENT_DB
    if silent[-1] and not silent[0]:
        yield _finding(survey, answer, heard, 10.0)
    elif silent[0] and answer.role not in FADES and not silent[-1] and not _is_volume(survey, answer):
        yield _finding(survey, answer, heard, 0.0)


def _is_volume(survey: Survey, answer: KnobAnswer) -> bool:
    """A plain divider of no special role fades to nothing as a volume does; so does a collector's load whose
    lower end lies on the supply, which is still as ground is.
    """
    if answer.wiring != "divider":
        return False
    low, wiper, high = survey.view.knob_nets(survey.circuit.by_ref[answer.ref])
    still = survey.classes.is_still
    is_load = still(low) and not still(wiper) and not still(high)
    return answer.role in ("", "knob") or (answer.role == "gain knob" and is_load)


def _finding(survey: Survey, answer: KnobAnswer, heard: Heard, place: float) -> Finding:
    fall = float(heard.values.max() - heard.values[-1 if place else 0])
    what = heard.name.removeprefix("level of ").removesuffix(" at 1 kHz")
    return Finding(
        parts=(answer.ref,),
        what=(
            f"{named(survey.bench, answer.ref)} at {place:g} shorts the signal: {what} falls by {fall:.0f} "
            "dB."
        ),
        evidence=(
            Evidence(
                name=heard.name,
                value=-fall,
                unit="dB",
                low=-SILENT_DB,
                basis=f"{answer.ref} at {place:g}, to its loudest",
            ),
        ),
        cure=(
            "If it is a volume, exchange the lugs 1 and 3 of the knob."
            if place and answer.role in FADES
            else f"Put a resistor of a tenth of its track in series with {answer.ref}."
        ),
    )


SPEAKING = """
supply V 9V wall
input IN buffered
output OUT 1M
knob VOLUME 100k audio at 5
IN > C1 1u > VOLUME.1
VOLUME.3 > gnd
VOLUME.2 > OUT
"""

LOAD = """
supply V 9V wall
input IN buffered
output OUT 1M
part Q1 npn 2N3904
knob BOOST 10k linear at 5
V > BOOST.1
BOOST.3 > Q1.c
V > R1 330k > Q1.b > R2 47k > gnd
Q1.e > R3 1k > gnd
IN > C1 1u (film) > Q1.b
BOOST.2 > C2 100n (film) > OUT
OUT > R4 1M > gnd
"""

RULE = Rule(
    code="K03",
    name="knob-shorts-signal",
    title="A knob silences the pedal at one end",
    gravity=Gravity.POOR,
    why=(
        "A volume may go to nothing at 0. A knob that goes to nothing at 10, or a tone or gain knob that "
        "does at all, joins the signal to ground through the last ohm of its track."
    ),
    source="computed over the travel; which end is which: common practice, no source",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("VOLUME",), says="at 10"),),
    quiet=(
        Trial(text=SPEAKING.replace("VOLUME.1\nVOLUME.3", "VOLUME.3\nVOLUME.1")),
        Trial(text=LOAD),
    ),
)
