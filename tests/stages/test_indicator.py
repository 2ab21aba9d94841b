"""What an indicator says of its lamp: the solved current where it is lit, its card where it is not."""

import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.notation import read_text
from pedalwright.stages.bench import Bench
from pedalwright.stages.recognise import kind_of
from pedalwright.stages.stage import Stage

LIT = """pedal On
supply VIN 9V wall
VIN > R1 4k7 > LAMP > D1 red > gnd
VIN > C1 100u > gnd
"""
SWITCHED = """pedal On by a contact
supply VIN 9V wall
switch GO dark lit at dark
VIN > D1 green > R1 3k3 > GO.common
GO.lit > gnd
VIN > C1 100u > gnd
"""
FOLLOWER = """pedal Rate lamp
supply VIN 9V wall
part U1 opamp TL071 v+=VIN v-=gnd
VIN > R3 100k > VB > R4 100k > gnd
VB > U1.non
U1.inv > U1.out > R1 4k7 > D1 red > gnd
"""


def indicator_in(text: str) -> tuple[Stage, Bench]:
    analysis = Analysis(read_text(text))
    return next(stage for stage in analysis.stages.stages if stage.kind == "indicator"), analysis.bench


def test_a_lit_lamp_takes_what_the_solved_circuit_says() -> None:
    """Ohm's law on the solved voltages."""
    stage, bench = indicator_in(LIT)
    lamp = bench.volts("LAMP")
    assert lamp is not None
    number = kind_of(stage).numbers(stage, bench)[0]
    assert number.full == pytest.approx((9.0 - lamp) / 4700.0)
    assert f"{1e3 * (9.0 - lamp) / 4700.0:.3g} mA" in kind_of(stage).purpose(stage, bench)
    assert f"{lamp:.3g} V stands across it" in kind_of(stage).part_says(stage, "D1", bench)


def test_a_dark_lamp_is_told_from_its_card() -> None:
    stage, bench = indicator_in(SWITCHED)
    assert kind_of(stage).numbers(stage, bench)[0].full is None
    assert "when it is lit" in kind_of(stage).purpose(stage, bench)
    assert "When lit, about" in kind_of(stage).part_says(stage, "D1", bench)


def test_a_lamp_on_an_amplifier_is_not_said_to_show_that_the_pedal_is_on() -> None:
    stage, bench = indicator_in(FOLLOWER)
    said = kind_of(stage).purpose(stage, bench)
    assert "follows the output of U1" in said and "is on" not in said
