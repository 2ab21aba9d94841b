"""From which level on a circuit clips: a growing tone against the slow search."""

import pytest

from pedalwright import circuits
from pedalwright.analysis.memo import Analysis
from pedalwright.notation import read_text
from pedalwright.sound.clipping import clips_from_v
from pedalwright.sound.measure.clip_level import clip_level
from pedalwright.sound.player import Player

DIVIDER = "input IN line\noutput OUT 1M\nIN > R1 1k > OUT > R2 1k > gnd\n"


def of(name: str) -> Analysis:
    return Analysis(read_text(circuits.text(name)))


def test_resistors_never_clip() -> None:
    assert clips_from_v(Analysis(read_text(DIVIDER))) is None


@pytest.mark.slow
def test_a_growing_tone_finds_what_the_slow_search_finds() -> None:
    analysis = of("lesson-non-inverting-booster")
    slow = clip_level(lambda: Player.of(analysis.circuit).play, 48000).input_peak_v
    assert clips_from_v(analysis) == pytest.approx(slow, rel=0.05)


def test_an_overdrive_clips_where_its_gain_opens_the_diodes() -> None:
    # Kilnhouse Drive at DRIVE 5: 1 % distortion came out at 10.1 mV by the slow search.
    assert clips_from_v(of("kilnhouse-drive")) == pytest.approx(10.1e-3, rel=0.1)
