"""Where a transistor stage rests, how far it swings, and which of its resistors only set the gain."""

import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.rooms import rooms_at
from pedalwright.notation import read_text
from pedalwright.stages.recognise import kind_of
from pedalwright.stages.stage import Stage
from pedalwright.stages.transistor_words import transistor_numbers

INSULATED = """pedal Insulated
supply VIN 9V wall
input IN pickup
output OUT 1M
part Q1 n-mosfet BS170
IN > C1 100n > Q1.g
VIN > R1 {upper} > Q1.g > R2 1M > gnd
VIN > R3 {load} > Q1.d
Q1.s > R4 1k > gnd
Q1.s > C2 100u > R5 100 > gnd
Q1.d > C3 1u > OUT
"""
JUNCTION = """pedal Bipolar
supply VIN 9V wall
input IN pickup
output OUT 1M
part Q1 npn 2N3904
IN > C1 1u > Q1.b
VIN > R1 47k > Q1.b > R2 10k > gnd
VIN > R3 5k6 > Q1.c
Q1.e > R4 1k > gnd
Q1.e > R5 100 > C2 100u > gnd
Q1.c > C3 1u > OUT
"""


def amplifier_in(text: str) -> tuple[Stage, Analysis]:
    analysis = Analysis(read_text(text))
    return next(stage for stage in analysis.stages.stages if "Q1" in stage.refs), analysis


@pytest.mark.parametrize("text", [INSULATED.format(upper="2M2", load="4k7"), JUNCTION])
def test_a_resistor_behind_the_bypass_sets_the_gain_and_holds_no_current(text: str) -> None:
    stage, analysis = amplifier_in(text)
    says = {ref: kind_of(stage).part_says(stage, ref, analysis.bench) for ref in ("R4", "R5")}
    assert "sets the gain" in says["R5"] and "Holds the resting current" not in says["R5"]
    assert "Holds the resting current" in says["R4"]


@pytest.mark.parametrize(
    "text",
    [
        INSULATED.format(upper="2M2", load="4k7"),
        INSULATED.format(upper="2M", load="8k2"),
        JUNCTION,
        JUNCTION.replace("5k6", "4k7"),
    ],
)
def test_the_swing_and_the_clip_level_follow_one_rule(text: str) -> None:
    """Switching off and the edge of the flat region, as the levels reckon them from the solved circuit."""
    stage, analysis = amplifier_in(text)
    swing = next(
        number
        for number in transistor_numbers(stage, analysis.bench)
        if number.name.startswith("largest swing")
    )
    assert swing.full == pytest.approx(rooms_at(analysis, stage.output)[0].volts, rel=1e-9)


def test_a_drain_near_its_floor_deserves_a_word() -> None:
    stage, analysis = amplifier_in(INSULATED.format(upper="2M", load="8k2"))
    rests = analysis.bench.volts(stage.output)
    assert rests is not None and rests < 3.0
    assert "rests low: little room downward" in kind_of(stage).purpose(stage, analysis.bench)
    middle, bench = amplifier_in(INSULATED.format(upper="2M2", load="5k6"))
    assert "little room" not in kind_of(middle).purpose(middle, bench.bench)
