"""The supply side as records, JSON, a page and Markdown: every key documented, nothing left unsaid."""

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from pedalwright import circuits, read_text
from pedalwright.analysis.power.answers import PowerAnswers, power_answers
from pedalwright.report.html_page import html_page
from pedalwright.report.markdown_page import markdown_page
from pedalwright.report.power_document import power_document
from pedalwright.report.power_json import power_data, power_json
from pedalwright.report.power_sentences import hours, seconds, verdict
from pedalwright.report.terminal_page import console_for, print_page
from tests.analysis.power.circuits_by_hand import BARE, CHIP, FUSED
from tests.report.pages import assert_sound
from tests.report.schemas import documented_keys, keys_of

ROOT = Path(__file__).resolve().parents[2]


def answers_of(text: str) -> PowerAnswers:
    return power_answers(read_text(text))


def merged_keys() -> set[str]:
    """Every key any of these circuits has."""
    over = "supply V 9V wall\nV > C1 10u (electrolytic, 6.3V) > gnd\nV > R1 100 > gnd\n"
    texts = [circuits.text("lantern-echo"), circuits.text("kilnhouse-drive"), BARE, over]
    return set().union(*(keys_of(power_data(answers_of(text))) for text in texts))


def test_every_key_is_documented_and_every_documented_key_is_there() -> None:
    assert merged_keys() == documented_keys(ROOT, "pedalwright.power/1")


@pytest.mark.parametrize("name", circuits.names())
def test_every_circuit_of_the_package_in_every_medium(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    answers = answers_of(circuits.text(name))
    assert answers.is_sound
    data: dict[str, Any] = json.loads(power_json(answers))
    assert data["schema"] == "pedalwright.power/1" and data["title"] == answers.title
    document = power_document(answers)
    page = html_page(document)
    assert_sound(page)
    markdown = markdown_page(document)
    print_page(document, console_for(width=80))
    told = capsys.readouterr().out
    for text in (page, markdown, told):
        for wrong in ("nan", "None", "inf ", "~"):
            assert wrong not in text.replace("finance", ""), wrong
    assert max(map(len, told.splitlines())) <= 80


def test_what_breaks_is_told_with_its_factor_and_its_protection() -> None:
    told = markdown_page(power_document(answers_of(circuits.text("kilnhouse-drive"))))
    assert "too much for R1" in told and "D1 conducts" in told and "2.59 times" in told
    assert "Polarised capacitors" in told and "Mains" in told


def test_a_circuit_over_its_ratings_while_healthy_says_so_first() -> None:
    answers = answers_of("supply V 9V wall\nV > C1 10u (electrolytic, 6.3V) > gnd\nV > R1 100 > gnd\n")
    assert {one.ref for one in answers.strained} == {"C1", "R1"}
    told = markdown_page(power_document(answers))
    assert "rated voltage 9.45 V of 6.3 V" in told and "More than half of what they stand: R1" in told


def test_the_verdicts_read_as_they_should() -> None:
    cases = {case.name: verdict(case) for case in answers_of(FUSED).abuse}
    assert cases["12 V"] == "survives"
    assert cases["reversed"].startswith(("survives; the fuse blows", "too much for"))
    turned = {case.name: verdict(case) for case in answers_of(CHIP).abuse}
    assert turned["U1 turned"] == "too much for U2"
    unsolved = replace(answers_of(CHIP).abuse[0], certified=False)
    assert "nothing is said" in verdict(unsolved) and unsolved.survives is None


def test_uncertified_answers_make_the_whole_unsound() -> None:
    answers = answers_of(CHIP)
    assert answers.is_sound
    unsolved = replace(answers.abuse[0], certified=False)
    assert not replace(answers, abuse=(unsolved,)).is_sound
    refused = replace(answers.budget, rails=(), refusals=("not solved",))
    assert not replace(answers, budget=refused).is_sound
    assert "not solved" in markdown_page(power_document(replace(answers, budget=refused)))


def test_times_and_lives_are_rounded_to_what_is_known() -> None:
    assert (seconds(float("inf")), seconds(0.0156)) == ("never", "16 ms")
    assert (hours(0.5), hours(99.6), hours(456.0)) == ("30 min", "100 h", "460 h")


def test_a_short_across_the_supply_is_not_told_to_the_digit() -> None:
    told = markdown_page(
        power_document(answers_of("supply V 9V wall\ngnd > D1 1N4001 > V\nV > R1 10k > gnd\n"))
    )
    assert "over 3 A" in told and "An adaptor gives in first" in told
    assert "too much for D1" in told
