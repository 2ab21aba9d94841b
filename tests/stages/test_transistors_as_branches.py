"""Transistors that act as a resistor or a coil."""

import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.notation import read_text
from pedalwright.stages.bench import Bench
from pedalwright.stages.channel_resistor import channel_numbers, channel_transfer, find_channel_resistors
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.recognise import bench_for
from pedalwright.stages.transistor_gyrator import find_transistors, transistor_gyrator_numbers

from .transistor_texts import by_name, staged


def test_a_channel_is_a_resistor_of_the_square_law() -> None:
    """r = |Vp| / (2 IDSS (1 - VGS/Vp)): 4 V / (2 * 8 mA * 0.5) = 500 ohm at half the pinch-off voltage."""
    text = """pedal Channel
supply V 9V wall
input IN line
output OUT 1M
part Q1 n-jfet 2N5457 idss=8mA vp=-4V modulation=0
IN > C3 10u > R1 10k > MID
Q1.d > MID
Q1.s > UP
V > R2 35k > UP > R3 10k > gnd
UP > C1 1000u > gnd
Q1.g > gnd
MID > C2 10u > OUT
"""
    analysis = Analysis(read_text(text))
    bench = Bench(analysis.view, analysis.bench.classes, analysis.bench.rest, analysis.small)
    proposals = list(find_channel_resistors(Claimed(bench, frozenset())))
    assert [proposal.refs for proposal in proposals] == [frozenset({"Q1"})]
    stage = staged(proposals[0])
    number = by_name(channel_numbers(stage, bench))["channel resistance"]
    assert number.closed == pytest.approx(500.0, rel=2e-3)
    assert number.full == pytest.approx(number.closed, rel=1e-3)
    transfer = channel_transfer(stage, bench)
    assert transfer is not None
    assert transfer.members == {"Q1/go"}


def test_a_transistor_coil() -> None:
    """1 kohm, 100 kohm and 10 nF: L = (R - RL) RL C = 0.99 H (textbook, series expansion)."""
    text = """pedal Coil
supply V 9V wall
input IN line
output OUT 100k
part Q1 npn 2N5088
V > R1 47k > VB > R2 47k > gnd
VB > C1 47u > gnd
IN > C2 1u > R3 10k > OUT
OUT > C3 47n > LINE
LINE > R4 1k > Q1.e
LINE > C4 10n > Q1.b
Q1.b > R5 100k > VB
Q1.c > V
Q1.e > R6 10k > gnd
"""
    bench = bench_for(read_text(text))
    proposals = list(find_transistors(Claimed(bench, frozenset())))
    assert [proposal.refs for proposal in proposals] == [frozenset({"Q1", "R4", "C4", "R5", "R6"})]
    found = by_name(transistor_gyrator_numbers(staged(proposals[0]), bench))
    assert found["inductance"].closed == pytest.approx(0.99)
