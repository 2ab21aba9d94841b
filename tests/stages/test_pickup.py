"""What a pickup sees at the input jack, and what is said of it."""

from math import pi

import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.notation import read_text
from pedalwright.stages.pickup import load_ohms
from pedalwright.stages.recognise import kind_of

FOLLOWER = """pedal Follower
supply VIN 9V wall
input IN {source}
output OUT 1M
part U1 opamp TL071 v+=VIN v-=gnd
VIN > R1 10k > VB > R2 10k > gnd
VB > C3 47u > gnd
IN > C1 10u (film) > U1.non
U1.non > R3 {bias} > VB
U1.inv > U1.out > C2 1u > OUT
"""


def said(source: str, bias: str) -> list[str]:
    analysis = Analysis(read_text(FOLLOWER.format(source=source, bias=bias)))
    told = [kind_of(stage).purpose(stage, analysis.bench) for stage in analysis.stages.stages]
    return [sentence for sentence in told if "The pickup sees" in sentence]


@pytest.mark.parametrize(
    ("bias", "words"),
    [("1M", "it keeps its treble"), ("220k", "is flattened"), ("27k", "it is dulled, from about 1.4")],
)
def test_a_pickup_is_told_what_it_sees(bias: str, words: str) -> None:
    """Above 500 kohm is common practice, no source; (7k + 27k beside 250k)/(2 pi 3.5 H) is 1.43 kHz."""
    assert round((7e3 + 27e3 * 250e3 / 277e3) / (2 * pi * 3.5), -1) == 1430
    found = said("pickup", bias)
    assert len(found) == 1 and words in found[0] and "wants at least 500 kΩ" in found[0]


def test_other_sources_are_not_told_of_pickups() -> None:
    assert said("line", "27k") == []


def test_the_load_is_the_bias_feed_at_the_input() -> None:
    """10 uF at 1 kHz is 16 ohm beside 220 kohm; VB is held by 47 uF, 3.4 ohm."""
    bench = Analysis(read_text(FOLLOWER.format(source="pickup", bias="220k"))).bench
    assert load_ohms(bench) == pytest.approx(220e3, rel=1e-3)
