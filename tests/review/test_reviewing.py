"""What a review holds beside its findings."""

from pedalwright.analysis.memo import Analysis
from pedalwright.notation.reading import read_text
from pedalwright.report.check_sentences import verdict
from pedalwright.review.catalogue import rule_named
from pedalwright.review.reviewing import Review, review

LOOSE = """pedal Loose
supply V 9V wall
input IN pickup
output OUT 1M
IN > R1 10k > OUT > R2 100k > gnd
OUT > R3 10k > OUT
OUT > C3 10n > ELSEWHERE
part U1 dual-opamp TL072 v+=V v-=gnd
IN > U1a.non
U1a.out > U1a.inv
U1b.out > NOWHERE
"""


def _told(text: str) -> Review:
    return review(Analysis(read_text(text), text))


def test_a_remark_on_the_text_is_not_repeated_where_a_finding_tells_the_same() -> None:
    told = _told(LOOSE)
    assert sum(one.rule.name == "part-without-effect" for one in told.found) == 2
    said = [remark.what for remark in told.cautions]
    assert not any("ELSEWHERE" in what or "R3" in what for what in said)
    assert any("NOWHERE" in what for what in said)


def test_a_remark_stays_where_the_rule_was_not_asked() -> None:
    analysis = Analysis(read_text(LOOSE), LOOSE)
    assert any("ELSEWHERE" in remark.what for remark in review(analysis, ()).cautions)


def test_some_rules_alone_do_not_call_a_circuit_fit_to_build() -> None:
    analysis, rule = Analysis(read_text(LOOSE), LOOSE), rule_named("S01")
    assert rule is not None
    assert verdict(review(analysis, (rule,))).startswith("The rules that were asked")


SLIPPED = """pedal Slipped
supply V 9V wall
input IN pickup
output OUT 1M
part Q1 npn 2N3904
IN > R6 1M > gnd
IN > C1 100n (film) > Q1.b
V > R1 1M > Q1.b > R2 180k > gnd
V > R3 4k7 > Q1.c
Q1.e > R4 1k > gnd
knob VOL 100k audio at 7
Q1.c > C2 100p (ceramic) > VOL.3
VOL.1 > gnd
VOL.2 > OUT
"""


def test_a_slipped_value_is_told_once_and_by_what_it_does() -> None:
    told = _told(SLIPPED)
    about = [one.rule.name for one in told.found if one.finding.parts[:1] == ("C2",)]
    assert "bass-lost" in about
    assert not {"value-out-of-role", "figure-out-of-use"} & set(about)
    guess = rule_named("value-out-of-role")
    assert guess is not None
    assert review(Analysis(read_text(SLIPPED), SLIPPED), (guess,)).found
