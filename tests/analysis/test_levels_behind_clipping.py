"""Levels where something clips: no net gets more than what stands before it lets through."""

import pytest

import pedalwright as pw
from pedalwright.analysis.records import Level

CLIPPER = """pedal Two stages and two diodes
supply VIN 9V battery
input IN line
output OUT 100k
part U1 dual-opamp TL072 v+=VIN v-=gnd
VIN > R1 10k > VB > R2 10k > gnd
VB > C1 100u > gnd
IN > C2 1u > U1a.non > R3 1M > VB
U1a.out > R4 100k > U1a.inv > R5 1k > C3 47u > gnd
U1a.out > C4 1u > R6 10k > U1b.inv > R7 10k > U1b.out
U1b.non > VB
U1b.out > C5 1u > R8 2k2 > CLIP
CLIP > D1 1N4148 > gnd
gnd > D2 1N4148 > CLIP
CLIP > C6 1u > OUT > R9 100k > gnd
"""


def _levels() -> dict[str, Level]:
    walk = pw.walk(pw.read_text(CLIPPER))
    return {level.net.removeprefix("~"): level for stage in walk.stages for level in stage.levels}


def test_an_amplifier_behind_a_clipped_one_gets_what_the_rails_allow() -> None:
    """No amplifier on one 9 V battery swings further than 4.5 V from the middle (Kirchhoff's voltage law)."""
    level = _levels()["U1b.out"]
    assert level.clipped_at.removeprefix("~") == "U1a.out"
    assert level.level_v is not None and 2.0 < level.level_v < 4.6


def test_diodes_hold_the_output() -> None:
    """A silicon diode holds about 0.6 V (common practice, no source): so does all that stands behind it."""
    levels = _levels()
    assert levels["CLIP"].limit_v == pytest.approx(0.6, abs=0.15)
    assert "D1" in levels["CLIP"].limited_by
    assert levels["OUT"].clipped_at == "CLIP"
    assert levels["OUT"].level_v == pytest.approx(levels["CLIP"].limit_v, rel=0.02)


def test_a_quiet_source_is_clipped_nowhere() -> None:
    walk = pw.walk(pw.read_text(CLIPPER.replace("input IN line", "input IN 10k 1mV")))
    assert not any(level.clipped_at for stage in walk.stages for level in stage.levels)
