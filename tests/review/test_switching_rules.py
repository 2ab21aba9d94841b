"""The rules on clicks, on the package's own circuits with a part changed or missing."""

import pytest

from pedalwright import circuits
from pedalwright.analysis.memo import Analysis
from pedalwright.notation.reading import read_text
from pedalwright.review.catalogue import rules_in
from pedalwright.review.reviewing import Review, review
from pedalwright.review.rules.switching._pops import SPOKEN_DB

PULLED = "OUT > R21 100k > gnd"


def _asked(text: str) -> Review:
    return review(Analysis(read_text(text), text), only=rules_in("switching"))


def _codes(text: str) -> set[str]:
    return {one.rule.code for one in _asked(text).found}


def test_the_echo_as_built_switches_in_peace() -> None:
    assert not _codes(circuits.text("lantern-echo"))


def test_without_its_pull_down_it_pops() -> None:
    text = circuits.text("lantern-echo")
    assert PULLED in text
    without = "\n".join(line for line in text.splitlines() if not line.startswith(PULLED))
    found = _asked(without).found
    assert [one.rule.name for one in found] == ["output-not-pulled-down"]
    assert "C26" in found[0].finding.parts


def test_a_pull_down_of_a_megohm_is_too_large_for_an_electrolytic() -> None:
    text = circuits.text("lantern-echo").replace(PULLED, "OUT > R21 2M2 > gnd")
    found = [one for one in _asked(text).found if one.rule.name == "foot-switch-pops"]
    assert found and found[0].finding.parts[0] == "R21"
    level = found[0].finding.evidence[0].value
    assert level > SPOKEN_DB
    cured = found[0].finding.changes[0].value
    assert cured <= 470e3
    again = _asked(text.replace("2M2", f"{cured:.0f}")).found
    assert "foot-switch-pops" not in [one.rule.name for one in again]


@pytest.mark.parametrize("name", ["lesson-inverting-amplifier", "lesson-emitter-follower"])
def test_a_lesson_without_a_pull_down_at_its_input_is_told_so(name: str) -> None:
    """They are lessons about one stage, and accept it; a resistor at the input silences the finding."""
    whole = circuits.text(name)
    assert [one.rule.code for one in _asked(whole).accepted] == ["P02"]
    text = "\n".join(line for line in whole.splitlines() if not line.startswith("accept"))
    assert "P02" in _codes(text)
    assert "P02" not in _codes(text + "\nIN > R99 220k > gnd\n")


def test_every_circuit_of_the_package_can_be_judged() -> None:
    for name in circuits.names():
        assert not _asked(circuits.text(name)).unanswered, name


OWN_SWITCH = """pedal Its own switch
supply VA 9V wall
input IN pickup
output OUT 1M
switch STOMP off on poles=2 at {at}
IN > STOMPa.common
STOMPb.common > OUT
STOMPa.off > STOMPb.off
STOMPa.on > IN2
STOMPb.on > OUT2
part U1 opamp TL071 v+=VA v-=gnd
VA > R1 22k > VB > R2 22k > gnd
VB > C1 47u (electrolytic, 16V) > gnd
{pull}
IN2 > C2 22n (film) > U1.non > R3 1M > VB
U1.out > U1.inv
U1.out > C3 1u (film) > OUT2 > R4 10k > gnd
"""


@pytest.mark.parametrize("at", ["on", "off"])
def test_a_foot_switch_that_is_drawn_is_thrown(at: str) -> None:
    """Without a resistor at its input the capacitor there is charged through its leak while it is out."""
    found = _asked(OWN_SWITCH.format(at=at, pull="")).found
    assert [one.rule.name for one in found] == ["charged-when-open"]
    assert found[0].finding.parts == ("C2", "STOMP")
    assert not _asked(OWN_SWITCH.format(at=at, pull="IN2 > R5 1M > gnd")).found
