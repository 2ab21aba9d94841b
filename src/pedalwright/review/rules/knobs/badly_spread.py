"""A knob whose effect is crowded into a part of its travel, or leaves a part dead."""

from collections.abc import Iterable

import numpy as np

from pedalwright.analysis.knob_evenness import SILENCE_DB
from pedalwright.analysis.knob_records import Heard, KnobAnswer
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.knobs._turned import answers, heard_at_jack, is_backwards
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import listed, named

CROWDED = 0.6
"""of the whole change in a single tenth of the travel (house rule)"""
DEAD_TENTHS = 2.0
"""so much of the dial (0 to 10) in which next to nothing changes (house rule)"""
POOR_EVENNESS, WORTH = 0.45, 0.15
"""evenness below which a law is looked for, and what another must bring (house rule)"""
LAWS = ("linear", "audio", "reverse-audio")
BOOST_AND_CUT_DB = 3.0
"""a knob that is flat in the middle and goes both ways is meant to be so (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every knob whose figure is heard at the jack; the weightiest complaint of each."""
    for answer in answers(survey):
        heard = heard_at_jack(answer)
        if heard is None or heard.spreading is None or answer.kind != "knob" or is_backwards(answer):
            continue
        law = _better(answer, heard)
        if _crowded(heard) is not None:
            yield _finding(survey, answer, heard, _crowded_says(heard), law)
        elif sum(high - low for low, high in heard.spreading.dead) >= DEAD_TENTHS:
            yield _finding(survey, answer, heard, _dead_says(heard), law)
        elif law and not _is_boost_and_cut(heard):
            low, high = heard.spreading.half_from, heard.spreading.half_to
            yield _finding(
                survey, answer, heard, f"half of what it does lies between {low:.1f} and {high:.1f}", law
            )


def _crowded(heard: Heard) -> int | None:
    """The tenth of the travel that holds most of the change, unless it is the one next to silence."""
    assert heard.spreading is not None
    shares = np.array(heard.spreading.shares)
    if heard.sort == "level":
        loudest = float(np.max(heard.values))
        shares[0] = 0.0 if heard.at_0 < loudest - SILENCE_DB / 2 else shares[0]
        shares[-1] = 0.0 if heard.at_10 < loudest - SILENCE_DB / 2 else shares[-1]
    place = int(np.argmax(shares))
    return place if shares[place] > CROWDED else None


def _crowded_says(heard: Heard) -> str:
    place = _crowded(heard)
    assert place is not None and heard.spreading is not None
    share = 100 * heard.spreading.shares[place]
    return f"{share:.0f} % of what it does happens between {place} and {place + 1}"


def _dead_says(heard: Heard) -> str:
    assert heard.spreading is not None
    spans = [f"{low:g} to {high:g}" for low, high in heard.spreading.dead]
    return f"next to nothing changes from {listed(spans)}"


def _better(answer: KnobAnswer, heard: Heard) -> tuple[str, float] | None:
    """The law of the three that are sold everywhere which spreads it much better, and its evenness."""
    if heard.advice is None or heard.spreading is None or heard.spreading.evenness >= POOR_EVENNESS:
        return None
    known = [
        (one.evenness, one.law) for one in heard.advice.laws if one.evenness is not None and one.law in LAWS
    ]
    evenness, law = max(known, default=(0.0, ""))
    return (law, evenness) if law != answer.law and evenness >= heard.spreading.evenness + WORTH else None


def _is_boost_and_cut(heard: Heard) -> bool:
    ends = (heard.at_0 - heard.at_noon, heard.at_10 - heard.at_noon)
    return (
        heard.sort == "level"
        and min(ends) < -BOOST_AND_CUT_DB
        and max(ends) > BOOST_AND_CUT_DB
        and _is_even(ends)
    )


def _is_even(ends: tuple[float, float]) -> bool:
    """Both ways by about as much."""
    return min(map(abs, ends)) > 0.7 * max(map(abs, ends))


def _finding(
    survey: Survey, answer: KnobAnswer, heard: Heard, says: str, law: tuple[str, float] | None
) -> Finding:
    assert heard.spreading is not None
    even = heard.spreading.evenness
    cure = (
        f"The law `{law[0]}` spreads it better: evenness {law[1]:.2f} instead of {even:.2f}."
        if law
        else "See what the verb `knobs` advises: another law, or a resistor from the wiper to one end."
    )
    return Finding(
        parts=(answer.ref,),
        what=f"{named(survey.bench, answer.ref)} ({answer.law}) is spread badly: {says} ({heard.name}).",
        evidence=(
            Evidence(
                name="evenness",
                value=even,
                unit="",
                low=POOR_EVENNESS,
                basis="1: every tenth of the travel does as much; 0: one does it all",
            ),
        ),
        cure=cure,
    )


LINEAR = """
input IN buffered
output OUT 1M
knob VOLUME 100k linear at 5
IN > VOLUME.3
VOLUME.1 > gnd
VOLUME.2 > OUT
"""
CROWDING = """
input IN buffered
output OUT 1M
knob TONE 1M linear at 5
IN > R1 4k7 > OUT
OUT > C1 47n > TONE.1
TONE.2 > TONE.3 > gnd
"""

RULE = Rule(
    code="K08",
    name="knob-badly-spread",
    title="A knob does most of its work in a corner of its travel",
    gravity=Gravity.NOTE,
    why=(
        "We hear loudness by its ratio, pitch by octaves and time by the clock. A track whose law does not "
        "fit makes one end of the dial touchy and leaves the rest for nothing."
    ),
    source="evenness over the travel as `knobs` measures it; limits: house rule",
    look=look,
    speaks=(
        Trial(text=LINEAR, blames=("VOLUME",), says="half of what it does"),
        Trial(text=CROWDING, blames=("TONE",), says="between 0 and 1"),
    ),
    quiet=(
        Trial(text=LINEAR.replace("100k linear", "100k audio")),
        Trial(text=CROWDING.replace("TONE 1M linear", "TONE 25k audio")),
    ),
)
