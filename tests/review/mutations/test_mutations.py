"""The two hundred mistakes: chosen as said, judged as kept, and told in the manual as they are."""

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from pedalwright import circuits
from pedalwright.circuit.circuit import Circuit
from pedalwright.notation import examine, read_text, write_circuit

from .choosing import FIRST, HOW_MANY, SECOND, candidates, chosen, healthy, sorts
from .judging import Outcome, differences, judge, measured
from .measuring import Measured
from .outcomes import all_chosen, kept, mattering, share, written

ROOT = Path(__file__).resolve().parents[3]
SAMPLED = 12
"""every twelfth outcome is judged again when the tests run; the tool judges all"""
GOAL = 0.9


def test_the_mistakes_kept_are_those_that_are_chosen() -> None:
    assert {seed: tuple(one.key for one in ones) for seed, ones in kept().items()} == all_chosen()


def test_no_mistake_is_made_twice() -> None:
    keys = [one.key for seed in (FIRST, SECOND) for one in chosen(seed)]
    assert len(keys) == len(set(keys)) == 2 * HOW_MANY


@pytest.mark.parametrize("seed", [FIRST, SECOND])
def test_they_are_spread_over_all_sorts_and_circuits(seed: int) -> None:
    assert {one.sort for one in chosen(seed)} == set(sorts())
    assert {one.name for one in chosen(seed)} == set(circuits.names())


def test_every_mistake_changes_the_circuit_and_can_be_written() -> None:
    for one in (*chosen(FIRST), *chosen(SECOND)):
        well, ill = healthy(one.name), one.mutant.circuit
        assert ill != well, one.key
        examine(write_circuit(ill))


@pytest.mark.parametrize("name", circuits.names())
def test_a_circuit_written_anew_measures_like_itself(name: str) -> None:
    again = read_text(write_circuit(healthy(name)))
    assert list(differences(measured(name), Measured(again))) == []


def test_a_level_is_measured_as_the_divider_rule_has_it() -> None:
    text = "input IN 1k 1V\noutput OUT 1G\nIN > R1 9k > OUT > R2 10k > gnd\n"
    level = Measured(read_text(text)).level_db["as it stands"]
    # 10k over 1k + 9k + 10k: -6.02 dB at every frequency.
    assert level is not None and level == pytest.approx(np.full(len(level), 20 * np.log10(0.5)), abs=1e-3)


def test_an_open_jack_is_seen() -> None:
    closed = read_text("input IN line\noutput OUT 1M\nIN > C1 1u > OUT > R1 100k > gnd\nIN > R2 1M > gnd\n")
    opened = read_text("input IN line\noutput OUT 1M\nIN > C1 1u > OUT\nIN > R2 1M > gnd\n")
    assert Measured(closed).open_jacks == frozenset()
    assert Measured(opened).open_jacks == {"output"}


def test_there_are_thousands_to_choose_from() -> None:
    assert sum(len(candidates(sort, name)) for sort in sorts() for name in circuits.names()) > 2000


@pytest.mark.slow
@pytest.mark.parametrize("seed", [FIRST, SECOND])
def test_a_sample_is_judged_as_kept(seed: int) -> None:
    for one, before in list(zip(chosen(seed), kept()[seed], strict=True))[::SAMPLED]:
        now = judge(one)
        assert (bool(now.matters), now.is_caught, now.blamed) == (
            bool(before.matters),
            before.is_caught,
            before.blamed,
        ), (one.key, now, before)


def test_the_manual_tells_the_outcomes_as_they_are_kept() -> None:
    page = (ROOT / "docs" / "check.md").read_text(encoding="utf-8")
    assert written(kept()) in page
    check = [sys.executable, str(ROOT / "tools" / "write_mutations.py"), "--check"]
    assert subprocess.run(check, check=False).returncode == 0


def test_of_the_mistakes_that_matter_nine_in_ten_are_caught() -> None:
    heavy = mattering(kept()[FIRST])
    assert len(heavy) > 60
    assert sum(one.is_caught for one in heavy) >= GOAL * len(heavy)


def test_a_share_of_nothing_is_no_share() -> None:
    assert (share(0, 0), share(9, 10)) == ("-", "90 %")


def test_what_is_said_of_something_else_is_not_caught() -> None:
    outcome = Outcome(key="a | b | c", matters=("x",), by="S01", gravity="damage", blamed="elsewhere")
    assert not outcome.is_caught


def test_a_mistake_is_made_to_the_circuit_it_names() -> None:
    (one, *_) = candidates("electrolytic reversed", "lantern-echo")
    well, ill = healthy("lantern-echo"), one.mutant.circuit
    assert isinstance(ill, Circuit)
    (ref,) = one.mutant.culprits
    assert ill.by_ref[ref].nets == well.by_ref[ref].nets[::-1]
