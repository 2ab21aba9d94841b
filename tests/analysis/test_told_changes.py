"""What a part's next value is told by: rates and delays before levels, and levels only where they differ."""

import re

import numpy as np
import pytest

from pedalwright.analysis.delay_swing import DelaySwing
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.records import Walk, WalkPart
from pedalwright.analysis.walk import walk
from pedalwright.circuits import text
from pedalwright.notation import read_text
from pedalwright.solve.band import Band


def walked(name: str) -> Walk:
    return walk(Analysis(read_text(text(name))))


@pytest.fixture(scope="module")
def chorus() -> Walk:
    return walked("duckpond-chorus")


def part(told: Walk, ref: str) -> WalkPart:
    return next(one for stage in told.stages for one in stage.parts if one.ref == ref)


@pytest.mark.parametrize("ref", ["RATE", "R18", "C20", "R16", "R17"])
def test_parts_of_the_slow_oscillator_are_told_by_its_rate(chorus: Walk, ref: str) -> None:
    for effect in (part(chorus, ref).larger, part(chorus, ref).smaller):
        assert effect is not None
        rates = [change for change in effect.changes if "the frequency changes from 1.4 Hz to " in change]
        assert rates == [effect.changes[0]]
        assert not any("the stage's gain" in change for change in effect.changes)


@pytest.mark.parametrize(("ref", "share"), [("C20", 1 / 1.5), ("R16", 47 / 56), ("R17", 120 / 100)])
def test_the_rate_follows_its_formula(chorus: Walk, ref: str, share: float) -> None:
    """f = R2 / (4 R3 R C) (Floyd, Electronic Devices, ch. 16)."""
    larger = part(chorus, ref).larger
    assert larger is not None
    old, new = map(float, re.findall(r"([0-9.]+) Hz", larger.changes[0]))
    assert new / old == pytest.approx(share, rel=5e-3)


def test_parts_at_the_time_pin_are_told_by_the_swing_of_the_delay(chorus: Walk) -> None:
    for ref in ("R20", "DEPTH"):
        effect = part(chorus, ref).larger
        assert effect is not None
        assert effect.changes[0].startswith("the delay's swing to either side changes from ")


def test_the_swing_of_the_delay_follows_the_published_delay_law() -> None:
    """t = 29.70 ms + 11.46 ms for every kilohm (Wiltshire, 2015), R the pin's voltage over its current; the
    pin stands at half the supply behind a resistance that its resting voltage tells.
    """
    analysis = Analysis(read_text(text("duckpond-chorus")))
    assert analysis.small is not None
    (chip,) = analysis.view.parts_of("echo-chip")
    pin, half = analysis.rest.volts(chip.net("6")), analysis.rest.volts(chip.net("1")) / 2
    amperes = pin / 3300.0
    behind_ohms = (half - pin) / amperes
    moved_v = 0.05
    ohms = [(pin + sign * moved_v) / (amperes - sign * moved_v / behind_ohms) for sign in (-1, 1)]
    band = Band(analysis.small, np.array([1.4]))
    found = DelaySwing(band=band, chip=chip, net=chip.net("6"), peak_v=moved_v).measure(analysis.rest, 0, {})
    assert found.value == pytest.approx((ohms[1] - ohms[0]) / 2 * 11.46e-6, rel=0.05)


def test_what_switches_or_keeps_time_has_no_gain_at_a_kilohertz(chorus: Walk) -> None:
    kinds = {"schmitt-trigger", "integrator", "delay-time-network", "echo-chip"}
    silent = [stage for stage in chorus.stages if stage.kind in kinds]
    assert {stage.kind for stage in silent} == kinds
    for stage in silent:
        assert not [number.name for number in stage.numbers if number.name.startswith("gain at")]
    assert any(number.name.startswith("gain at") for stage in chorus.stages for number in stage.numbers)


def test_an_electrolytic_is_told_at_mains_ripple_only(chorus: Walk) -> None:
    """What it does at 100 kHz its series resistance decides, which no value tells (makers' sheets)."""
    said = [
        change
        for stage in chorus.stages
        for one in stage.parts
        for effect in (one.larger, one.smaller)
        if effect is not None and "µF" in one.label
        for change in effect.changes
    ]
    assert any("at 100 Hz changes" in change for change in said)
    assert not any("100 kHz" in change for change in said)


def test_levels_by_formula_are_told_by_their_difference() -> None:
    told = walked("windowsill-tone")
    said = [
        change
        for stage in told.stages
        for one in stage.parts
        for effect in (one.larger, one.smaller)
        if effect is not None
        for change in effect.changes
    ]
    assert not any("0 dB to 0 dB" in change or "0.0 dB to 0.0 dB" in change for change in said)
    assert not any("1000 Hz" in number.name for stage in told.stages for number in stage.numbers)
