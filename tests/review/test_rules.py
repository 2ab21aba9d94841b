"""Every rule speaks about its speaking trials, is quiet about its quiet ones, and its computed cures work."""

from collections.abc import Iterable

import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.notation.reading import read_text
from pedalwright.review.catalogue import FOLDERS, rules
from pedalwright.review.reviewing import Review, review
from pedalwright.review.rule import Rule, Trial
from pedalwright.review.survey import Survey

TITLED = "pedal Trial\n"
SENTENCE_ENDS = (".", "?", "!", ")")


def _asked(rule: Rule, trial: Trial) -> Review:
    text = trial.text if "pedal " in trial.text else TITLED + trial.text
    return review(Analysis(read_text(text), text), only=(rule,))


def _speaking() -> Iterable[object]:
    return [
        pytest.param(rule, trial, id=f"{rule.code}-{n}")
        for rule in rules()
        for n, trial in enumerate(rule.speaks)
    ]


def _quiet() -> Iterable[object]:
    return [
        pytest.param(rule, trial, id=f"{rule.code}-{n}")
        for rule in rules()
        for n, trial in enumerate(rule.quiet)
    ]


@pytest.mark.parametrize("rule, trial", _speaking())
def test_the_rule_speaks_and_names_the_parts(rule: Rule, trial: Trial) -> None:
    asked = _asked(rule, trial)
    assert asked.found, f"{rule.code} finds nothing; unanswered: {[one.why for one in asked.unanswered]}"
    matching = [
        one
        for one in asked.found
        if set(trial.blames) <= {*one.finding.parts, *one.finding.nets} and trial.says in one.finding.what
    ]
    assert matching, [(one.finding.parts, one.finding.nets, one.finding.what) for one in asked.found]


@pytest.mark.parametrize("rule, trial", _quiet())
def test_the_rule_is_quiet_and_not_for_want_of_figures(rule: Rule, trial: Trial) -> None:
    asked = _asked(rule, trial)
    assert not asked.found, [one.finding.what for one in asked.found]
    assert not asked.unanswered, [one.why for one in asked.unanswered]


@pytest.mark.parametrize("rule, trial", _speaking())
def test_a_cure_that_is_a_value_silences_the_finding(rule: Rule, trial: Trial) -> None:
    text = trial.text if "pedal " in trial.text else TITLED + trial.text
    circuit = read_text(text)
    for one in _asked(rule, trial).found:
        if not one.finding.changes:
            continue
        cured = circuit
        for change in one.finding.changes:
            cured = cured.with_value(change.ref, change.value)
        again = [finding.parts for finding in rule.look(Survey(Analysis(cured)))]
        assert one.finding.parts not in again, (one.finding.what, one.finding.cure)


@pytest.mark.parametrize("rule", [pytest.param(rule, id=rule.code) for rule in rules()])
def test_what_a_rule_says_is_whole_sentences(rule: Rule) -> None:
    assert rule.speaks and rule.quiet
    assert rule.why.endswith(SENTENCE_ENDS) and rule.title and not rule.title.endswith(".")
    assert rule.source
    for trial in rule.speaks:
        for one in _asked(rule, trial).found:
            assert one.finding.what.endswith(SENTENCE_ENDS), one.finding.what
            assert one.finding.cure.endswith(SENTENCE_ENDS), one.finding.cure
            assert one.finding.parts or one.finding.nets or one.finding.spans


def test_names_and_codes_are_unique_and_the_folders_are_known() -> None:
    assert len({rule.name for rule in rules()}) == len(rules())
    assert len(set(FOLDERS.values())) == len(FOLDERS)
