"""Records as plain facts: every figure with its unit and conditions, or with the reason why it is missing."""

from dataclasses import dataclass

import numpy as np
import pytest

from pedalwright.sound.measure.clicks import echo_pattern
from pedalwright.sound.measure.clip_level import clip_level
from pedalwright.sound.measure.distortion import Distortion, distortion
from pedalwright.sound.measure.facts import facts
from pedalwright.sound.measure.level import Level, level
from pedalwright.sound.measure.signals import always

RATE_HZ = 48_000.0


@dataclass(frozen=True)
class Both:
    level: Level
    distortion: Distortion


def test_a_figure_comes_with_unit_and_conditions() -> None:
    found = facts(distortion(always(lambda v: v + 0.1 * v**2), RATE_HZ, input_peak_v=1.0))
    one = next(fact for fact in found if fact.what == "thd ratio")
    assert (one.measure, one.item, one.unit) == ("distortion", "", "")
    assert one.value == pytest.approx(0.05)
    assert ("input peak", 1.0, "V") in one.holds_for and ("band 2", 20e3, "Hz") in one.holds_for
    second = next(fact for fact in found if fact.item == "harmonic 2" and fact.what == "level")
    assert second.value == pytest.approx(-26.02, abs=0.01) and second.unit == "dB"


def test_a_missing_figure_says_why() -> None:
    for found in (facts(level(np.zeros(1000), RATE_HZ)), facts(clip_level(always(lambda v: v), RATE_HZ))):
        missing = [fact for fact in found if fact.value is None]
        assert missing and all(fact.remarks for fact in missing)


def test_arrivals_are_numbered_and_collections_are_taken_apart() -> None:
    pattern = echo_pattern(always(lambda v: v + np.roll(v, 9600) / 2), RATE_HZ, seconds=1.0)
    assert {fact.item for fact in facts(pattern)} == {"arrival 1", "arrival 2"}
    tone_v = np.sin(np.arange(4800) / 10)
    both = Both(level(tone_v, RATE_HZ), distortion(always(np.sign), RATE_HZ, input_peak_v=1.0))
    assert {fact.measure for fact in facts(both)} == {"level", "distortion"}
