"""The brief answered: limits, units, margins, and what cannot be answered."""

import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.notation.reading import read_text
from pedalwright.review.catalogue import rule_named
from pedalwright.review.reviewing import review
from pedalwright.review.rule import Gravity
from pedalwright.review.survey import Survey
from pedalwright.review.want_words import margin_words
from pedalwright.review.wants import WantAnswer, answered_wants

HALF = """pedal Half
input IN 1 1V
output OUT 1M
IN > R1 10k > OUT
OUT > R2 10k > gnd
"""
HALF_DB = -6.0640
"""20 log of 9.901 k over 19.901 k: 10 k beside 1 M, below 10 k"""


def _answers(*wants: str, text: str = HALF) -> tuple[WantAnswer, ...]:
    written = text + "".join(f"want {want}\n" for want in wants)
    return answered_wants(Survey(Analysis(read_text(written), written)))


@pytest.mark.parametrize(
    ("want", "met", "margin"),
    [
        ("gain > -7dB", True, 7 + HALF_DB),
        ("gain < -7dB", False, -7 - HALF_DB),
        ("gain = -6dB +- 1dB", True, 1 + (6 + HALF_DB)),
        ("gain = -9dB..-8dB", False, -8 - HALF_DB),
        ("gain = -6dB", True, 0.1 + (6 + HALF_DB)),
        ("gain = -6.5dB", False, -6.4 - HALF_DB),
    ],
)
def test_met_or_missed_and_by_how_much(want: str, met: bool, margin: float) -> None:
    (answer,) = _answers(want)
    assert answer.value == pytest.approx(HALF_DB, abs=0.01) and answer.unit == "dB"
    assert answer.met is met
    assert answer.margin == pytest.approx(margin, abs=0.01)
    assert answer.basis and not answer.why_not


@pytest.mark.parametrize(
    ("want", "value"), [("gain > 0.4", 0.4975), ("gain < 60%", 0.4975), ("input.ohms > 19k", 19.9e3)]
)
def test_a_want_may_use_a_bare_ratio_per_cent_or_bare_ohms(want: str, value: float) -> None:
    (answer,) = _answers(want)
    assert answer.met is True
    assert answer.value == pytest.approx(value, rel=2e-3)


def test_one_value_without_a_spread_is_reached_within_a_hundredth() -> None:
    near, far = _answers("input.ohms = 19.8k", "input.ohms = 19.6k")
    assert near.met is True and far.met is False
    assert near.low is not None and near.low == pytest.approx(0.99 * 19.8e3)


def test_what_is_not_answered_says_why() -> None:
    wrong_unit, unknown, missing = _answers("gain = 3ms", "loudness > 3dB", "delay.max > 600ms")
    assert "decibels, not in s" in wrong_unit.why_not
    assert not unknown.known_name and "loudness" in unknown.why_not
    assert missing.known_name and "no echo chip" in missing.why_not
    assert all(
        one.met is None and one.value is None and one.margin is None for one in (wrong_unit, unknown, missing)
    )


def test_a_missed_want_can_be_accepted_and_an_answer_is_computed_once() -> None:
    text = f"{HALF}want gain > 0dB\naccept W01 because it is a pad\n"
    told = review(Analysis(read_text(text), text))
    assert [one.rule.code for one in told.accepted] == ["W01"]
    survey = Survey(Analysis(read_text(text), text))
    assert answered_wants(survey) is answered_wants(survey)


def test_a_missed_want_is_worth_a_disappointment_and_shows_its_line() -> None:
    text = f"{HALF}want gain > 0dB\n"
    (told,) = [one for one in review(Analysis(read_text(text), text)).found if one.rule.code == "W01"]
    assert told.gravity is Gravity.POOR
    assert [span.line for span in told.spans] == [6]
    assert "6.06 dB more" in told.finding.cure


def test_noise_may_be_wanted_in_dbv_or_in_volts() -> None:
    level, volts, wrong = _answers("noise < -100dBV", "noise < 10uV", "noise < -100dB")
    assert level.unit == "dBV" and volts.unit == "V" and level.met is True and volts.met is True
    assert level.value is not None and volts.value == pytest.approx(10 ** (level.value / 20))
    assert "dBV or volts" in wrong.why_not


def test_a_review_holds_every_want_unless_others_were_asked_for() -> None:
    text = f"{HALF}want gain > 0dB\nwant input.ohms > 1k\nwant delay < 1s\n"
    analysis = Analysis(read_text(text), text)
    assert [one.met for one in review(analysis).wants] == [False, True, None]
    assert [margin_words(one) for one in review(analysis).wants] == [
        "missed by 6.06 dB",
        "met, 18.9 kΩ to spare",
        "not known",
    ]
    other = rule_named("S01")
    assert other is not None and review(analysis, (other,)).wants == ()
