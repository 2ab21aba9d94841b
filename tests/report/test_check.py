"""Reviews made by hand, told: no circuit is solved for them."""

import pytest

from pedalwright.circuit.ports import Acceptance
from pedalwright.circuit.remark import Remark, Severity
from pedalwright.circuit.span import Span
from pedalwright.report.check_document import MOST_LINES, check_document
from pedalwright.report.check_sentences import lines_of, measured, summary, unanswered_sentences, verdict
from pedalwright.report.html_page import html_page
from pedalwright.report.markdown_page import markdown_page
from pedalwright.review.catalogue import rule_named
from pedalwright.review.reviewing import Review, Silent, Spoken
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule

from .pages import assert_sound

TEXT = "pedal <b>Odd\nIN > R1 10k > OUT  # here\nwant gain > 3dB #yes\nabout a song in A# minor"


def rule() -> Rule:
    found = rule_named("S01")
    assert found is not None
    return found


def spoken(gravity: Gravity, what: str = "R1 is wrong.", **more: object) -> Spoken:
    finding = Finding(what=what, cure="Take 12 kΩ.", parts=("R1",), gravity=gravity)
    return Spoken(rule=rule(), finding=finding, spans=(Span(2, 1, 5),))


def reviewed(
    *found: Spoken, accepted: tuple[Spoken, ...] = (), unanswered: tuple[Silent, ...] = ()
) -> Review:
    return Review(found=found, accepted=accepted, idle=(), unanswered=unanswered, rules_asked=3)


@pytest.mark.parametrize(
    ("gravity", "says"),
    [
        (Gravity.DAMAGE, "Do not switch it on yet: something will be damaged."),
        (Gravity.DEAD, "Built like this it will not work."),
        (Gravity.POOR, "It will work, but something about it will disappoint."),
        (Gravity.NOTE, "Nothing was found that speaks against building it."),
    ],
)
def test_the_verdict_is_that_of_the_worst(gravity: Gravity, says: str) -> None:
    assert verdict(reviewed(spoken(gravity), spoken(Gravity.NOTE))) == says


def test_silence_is_not_called_approval_when_rules_could_not_judge() -> None:
    told = reviewed(unanswered=(Silent(rule=rule(), why="Nothing is known."),))
    assert verdict(told) == "Nothing was found by the rules that could judge."
    assert summary(told) == "No finding; 3 rules asked, of which 1 could not judge."


def test_the_sum_counts_each_gravity() -> None:
    told = reviewed(spoken(Gravity.DEAD), spoken(Gravity.NOTE), spoken(Gravity.NOTE))
    assert summary(told) == "3 findings: 1 that will keep it from working, 2 worth knowing; 3 rules asked."


@pytest.mark.parametrize(
    ("evidence", "says"),
    [
        (Evidence(name="rest", value=0.0123, unit="V", high=0.01), "rest: 12.3 mV, at most 10 mV"),
        (
            Evidence(name="gain", value=-3.21, unit="dB", low=-1.0, high=1.0),
            "gain: -3.2 dB, at least -1.0 dB, at most +1.0 dB",
        ),
        (
            Evidence(name="heat", value=151.0, unit="C", high=150.0, basis="at 40 °C"),
            "heat: 151 °C, at most 150 °C (at 40 °C)",
        ),
        (Evidence(name="share", value=12.5, unit="%"), "share: 12.5 %"),
        (Evidence(name="swing", value=2.0, unit="x"), "swing: 2 times"),
        (Evidence(name="time", value=float("inf"), unit="s"), "time: not known"),
    ],
)  # fmt: skip
def test_figures_come_with_their_limits(evidence: Evidence, says: str) -> None:
    assert measured(evidence) == says


def test_lines_are_quoted_once_and_without_comments() -> None:
    spans = (Span(2, 1, 5), Span(2, 8, 9), Span(3, 1, 5), Span(4, 1, 2), Span(99, 1, 2))
    assert lines_of(TEXT, spans) == (
        (2, "IN > R1 10k > OUT"),
        (3, "want gain > 3dB"),
        (4, "about a song in A# minor"),
    )
    assert lines_of("", spans) == ()


def test_one_reason_is_given_once_for_all_rules_it_keeps_from_judging() -> None:
    silent = (Silent(rule=rule(), why="There is no input."), Silent(rule=rule(), why="There is no input."))
    (said,) = unanswered_sentences(silent)
    assert said.startswith("There is no input. Not judged: S01 ") and said.count("S01") == 2


def test_what_a_text_says_never_becomes_markup() -> None:
    caution = Remark(
        code="x.y", span=Span(2, 1, 2), what="<i>", why="*why*", cure="[x](y)", severity=Severity.CAUTION
    )
    acceptance = Acceptance(code="S01", reason="<script>", parts=(), span=Span(3, 1, 2))
    passed = Spoken(rule=rule(), finding=spoken(Gravity.DEAD).finding, spans=(), acceptance=acceptance)
    told = Review(
        found=(spoken(Gravity.DAMAGE, "<u>&R1."),),
        accepted=(passed,),
        idle=(),
        unanswered=(),
        rules_asked=1,
        cautions=(caution,),
    )
    document = check_document("<b>Odd", told, TEXT, "0" * 64, in_full=True)
    page = html_page(document, contents=False)
    assert_sound(page)
    assert not any(tag in page for tag in ("<script>", "<u>", "<i>", "<b>Odd"))
    assert "\\*why\\*" in markdown_page(document)


def test_a_finding_about_many_lines_quotes_some() -> None:
    text = "\n".join(f"IN > R{n} 10k > OUT" for n in range(1, 20))
    many = Spoken(
        rule=rule(),
        finding=spoken(Gravity.NOTE).finding,
        spans=tuple(Span(n, 1, 3) for n in range(1, 20)),
    )
    written = markdown_page(check_document("Odd", reviewed(many), text, ""))
    assert f"R{MOST_LINES} " in written and f"R{MOST_LINES + 1} " not in written
    assert f"and {19 - MOST_LINES} more" in written
