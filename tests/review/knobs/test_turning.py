"""The figures of the rules about knobs, against Ohm's law; and what they leave alone."""

import numpy as np
import pytest

from pedalwright import circuits
from pedalwright.analysis.knob_answers import glance, knobs
from pedalwright.analysis.memo import Analysis
from pedalwright.notation.reading import read_text
from pedalwright.review.catalogue import rule_named
from pedalwright.review.rule import Finding
from pedalwright.review.rules.knobs._turned import TURNS, tracks
from pedalwright.review.survey import Survey


def _found(code: str, text: str) -> list[Finding]:
    rule = rule_named(code)
    assert rule is not None
    return list(rule.look(Survey(Analysis(read_text(f"pedal Turning\n{text}")))))


def _value(finding: Finding, name: str) -> float:
    return next(one.value for one in finding.evidence if name in one.name)


STARVE = """
supply V 9V wall
knob STARVE 1k linear at 5
V > STARVE.3
STARVE.2 > R1 47 > gnd
output OUT 1M
V > R2 10k > OUT
"""


def test_currents_of_a_track_are_those_of_ohms_law() -> None:
    """9 V over the upper half of the track and 47 ohm; an ohm is left at the end (DAFx-19)."""
    (case,) = tracks(Survey(Analysis(read_text(f"pedal Starve\n{STARVE}"))))
    turns = np.array(TURNS)
    upper = 1000.0 - (1.0 + turns * 998.0)
    assert case.upper_a == pytest.approx(9.0 / (upper + 47.0), rel=1e-6)
    assert case.lower_a == pytest.approx(np.zeros(len(TURNS)), abs=1e-9)


def test_a_track_burns_by_its_current_anywhere() -> None:
    """0.1 W over 1 kohm is 10 mA; 9 V over 48 ohm is 187.5 mA."""
    (told,) = _found("K02", STARVE)
    assert _value(told, "current through the track") == pytest.approx(9.0 / 48.0, rel=1e-6)
    assert told.evidence[0].high == pytest.approx(0.01, rel=1e-9)


def test_a_shorted_supply_is_measured_at_the_end() -> None:
    text = """
supply V 9V wall
output OUT 1M
knob GLOW 10k linear at 5
V > GLOW.3
GLOW.2 > GLOW.1 > gnd
V > R1 1k > OUT
"""
    (told,) = _found("K01", text)
    # An ohm of track, and 1 kohm into 1 Mohm beside it.
    assert _value(told, "current out of V") == pytest.approx(9.0, rel=1e-3)


def test_a_loaded_wiper_is_told_with_its_load() -> None:
    text = (
        "\ninput IN buffered\noutput OUT 1M\nknob LEVEL 1M audio at 5\nIN > LEVEL.3\nLEVEL.1 > gnd\n"
        "LEVEL.2 > R1 10k > gnd\nLEVEL.2 > OUT\n"
    )
    (told,) = _found("K10", text)
    assert _value(told, "load at the wiper") == pytest.approx(10e3, rel=0.02)


def test_a_dead_knob_is_told_from_one_that_only_seems_dead() -> None:
    """TOUCH feeds a branch of its own: nothing at the jack, but something in the circuit."""
    text = """
input IN buffered
output OUT 1M
knob TOUCH 100k linear at 5
IN > R1 10k > OUT
IN > R2 1k > TOUCH.3
TOUCH.1 > gnd
TOUCH.2 > R3 10k > SIDE
SIDE > C1 1u > gnd
"""
    assert not _found("K05", text)
    assert _found("K05", text.replace("TOUCH.1 > gnd\nTOUCH.2 > R3", "R3.1 > TOUCH.3\nSIDE > R3"))


@pytest.mark.parametrize("name", ["lantern-echo", "duckpond-chorus", "kilnhouse-drive"])
def test_a_glance_sees_what_the_whole_look_sees(name: str) -> None:
    """The leading figure of every knob is the same with fewer positions and frequencies, ends within 2 %."""
    text = circuits.text(name)
    analysis = Analysis(read_text(text), text)
    for quick, whole in zip(glance(analysis), knobs(analysis, steps=11), strict=True):
        assert quick.ref == whole.ref and quick.role == whole.role
        assert quick.heard[0].name == whole.heard[0].name
        for end in ("at_0", "at_10"):
            assert getattr(quick.heard[0], end) == pytest.approx(
                getattr(whole.heard[0], end), rel=0.02, abs=0.1
            )


def test_a_backwards_knob_is_not_called_badly_spread_as_well() -> None:
    """Which law a knob wants is told once it is wired the right way round."""
    right = circuits.text("three-shelves-tone")
    text = right.replace("TREBLE.1 > BASS.1\nBASS.2 > BASS.3", "TREBLE.1 > BASS.3\nBASS.2 > BASS.1")
    assert text != right
    survey = Survey(Analysis(read_text(text), text))
    backwards, spread = rule_named("K07"), rule_named("K08")
    assert backwards is not None and spread is not None
    turned = {finding.parts[0] for finding in backwards.look(survey)}
    assert turned == {"BASS"}
    assert not turned & {finding.parts[0] for finding in spread.look(survey)}
