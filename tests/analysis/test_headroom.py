"""The headroom ladder against playing the circuit sample by sample, and against Kirchhoff's voltage law."""

import pytest

from pedalwright.analysis.headroom import PICKUP_PEAKS_V, Rung, first_to_clip, headroom_ladder
from pedalwright.analysis.memo import Analysis
from pedalwright.notation.reading import read_text
from pedalwright.sound.clipping import clips_from_v

AMPLIFIER = """pedal One amplifier
supply VA 9V wall
input IN 100 1V
output OUT 1M
part U1 opamp TL071 v+=VA v-=gnd
VA > R1 10k > VB > R2 10k > gnd
VB > C1 1000u > gnd
IN > C2 10u > U1.non > R3 1M > VB
U1.out > R4 {feedback} > U1.inv > R5 10k > C3 100u > gnd
U1.out > C4 10u > OUT > R6 100k > gnd
"""
TWO = """pedal Two amplifiers
supply VA 9V wall
input IN 100 1V
output OUT 1M
part U1 dual-opamp TL072 v+=VA v-=gnd
VA > R1 10k > VB > R2 10k > gnd
VB > C1 1000u > gnd
IN > C2 10u > U1a.non > R3 1M > VB
U1a.out > R4 100k > U1a.inv > R5 10k > C3 100u > gnd
U1a.out > C4 10u > R6 {down} > U1b.inv > R7 10k > U1b.out
U1b.non > VB
U1b.out > C5 10u > OUT > R8 100k > gnd
"""
DIODES = "U1.out > C6 10u > R9 2k2 > CLIP > D1 1N4148 > gnd\ngnd > D2 1N4148 > CLIP\n"


def _ladder(text: str) -> dict[str, Rung]:
    return {rung.net.removeprefix("~"): rung for rung in headroom_ladder(Analysis(read_text(text)))}


@pytest.mark.parametrize("feedback, times", [("10k", 2.0), ("90k", 10.0), ("390k", 40.0)])
def test_one_amplifier_clips_where_its_swing_over_its_gain_says(feedback: str, times: float) -> None:
    """4.5 V less the part's 1.5 V of headroom (TI SLOS080M) over 1 + Rf/Rg (handbook formula)."""
    rung = _ladder(AMPLIFIER.format(feedback=feedback))["U1.out"]
    assert rung.limit_v == pytest.approx(3.0, rel=0.01)
    assert rung.clips_from_v == pytest.approx(3.0 / times, rel=0.02)
    assert rung.peaks_v == pytest.approx([peak * times for peak in PICKUP_PEAKS_V], rel=0.02)


@pytest.mark.parametrize("feedback", ["10k", "90k", "390k"])
def test_it_clips_where_playing_it_clips(feedback: str) -> None:
    """The time domain says 1 % of harmonics, which is a little above the level that touches the rail."""
    analysis = Analysis(read_text(AMPLIFIER.format(feedback=feedback)))
    first = first_to_clip(headroom_ladder(analysis))
    played = clips_from_v(analysis)
    assert first is not None and played is not None
    assert first.clips_from_v == pytest.approx(played, rel=0.12)


def test_diodes_clip_where_playing_them_clips() -> None:
    """The ladder tells 0.1 mA through the diodes; 1 % of harmonics comes sooner, at some microamperes."""
    text = AMPLIFIER.format(feedback="10k").replace("U1.out > C4", DIODES + "CLIP > C4")
    analysis = Analysis(read_text(text))
    first = first_to_clip(headroom_ladder(analysis), meant=True)
    played = clips_from_v(analysis)
    assert first is not None and first.clips_from_v is not None and played is not None
    assert 0.4 < played / first.clips_from_v < 1.1


def test_what_stands_behind_a_clipped_stage_never_clips() -> None:
    """The first stage passes at most 3 V; behind a fall to a fifth the second one gets 0.6 V (Ohm's law)."""
    behind = _ladder(TWO.format(down="51k"))["U1b.out"]
    assert behind.held_by.removeprefix("~") == "U1a.out"
    assert behind.clips_from_v is None


def test_a_second_stage_with_gain_clips_first() -> None:
    ladder = headroom_ladder(Analysis(read_text(TWO.format(down="2k"))))
    first = first_to_clip(ladder)
    assert first is not None and first.net.removeprefix("~") == "U1b.out"
    assert first.clips_from_v == pytest.approx(3.0 / (11 * 5), rel=0.02)


def test_nothing_is_said_without_an_input() -> None:
    text = AMPLIFIER.format(feedback="10k").replace("input IN 100 1V\n", "")
    assert headroom_ladder(Analysis(read_text(text))) == ()
