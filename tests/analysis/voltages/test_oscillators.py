"""Oscillating circuits: their swing against the textbook's triangle, and never a false steady figure."""

import pytest

from pedalwright import circuits, read_text
from pedalwright.analysis.knob_swing import triangle_of_circuit
from pedalwright.analysis.voltages import State, voltage_table
from pedalwright.analysis.voltages.swing import leaving, movement

from .circuits_in_hand import TRIANGLE, package, table


def test_the_triangle_is_as_high_and_as_fast_as_the_textbook_says() -> None:
    """Trigger and integrator: f = R17/(4 R16 R C), peak = swing R16/R17; Franco, Design with Operational
    Amplifiers and Analog Integrated Circuits, chapter on signal generators. The TL072 stops 1.5 V short of
    either supply (TI SLOS080M), so its swing is 3 V around 4.5 V.
    """
    found = movement(read_text(TRIANGLE))
    assert found is not None and found.ranges is not None
    low, high = found.ranges["~U1b.out"]
    peak = 3.0 * 47 / 100
    assert [low, high] == pytest.approx([4.5 - peak, 4.5 + peak], abs=0.03)
    assert found.rate_hz == pytest.approx(100 / 47 / (4 * 330e3 * 1e-6), rel=0.02)
    assert list(found.ranges["~U1a.out"]) == pytest.approx([1.5, 7.5], abs=0.01)


@pytest.mark.parametrize("name", ["duckpond-chorus", "ferryman-phaser"])
def test_the_followed_oscillator_agrees_with_the_stage_recognised(name: str) -> None:
    """Height and rate from the recognised stage are closed forms that know nothing of the following in
    time; in the pedals the bias net gives way a little, which they do not know either.
    """
    swing, found = triangle_of_circuit(package(name)), movement(package(name))
    assert swing is not None and found is not None and found.ranges is not None
    low, high = found.ranges[swing.net]
    assert high - low == pytest.approx(2 * swing.peak_v, rel=0.03)
    assert found.rate_hz == pytest.approx(swing.rate_hz, rel=0.03)


@pytest.mark.parametrize("name", ["duckpond-chorus", "ferryman-phaser", "millwheel-tremolo"])
def test_no_pin_of_an_oscillator_gets_a_steady_figure(name: str) -> None:
    found = table(name)
    assert found.oscillates and found.rate_hz
    point = next(row for row in found.rows if "slow oscillator" in row.place.says)
    expected = point.expected
    assert expected.state is State.MOVES and expected.swing_v is not None
    assert expected.low_v is not None and expected.high_v is not None
    assert expected.low_v <= expected.swing_v[0] < expected.swing_v[1] - 1.0 < expected.high_v
    # A half supply of the audio is not moved by it.
    half = found.nets["VB"]
    assert half.state is State.STEADY and half.high_v is not None and half.low_v is not None
    assert half.high_v - half.low_v < 1.5


def test_circuits_that_rest_are_not_followed() -> None:
    for name in ("lantern-echo", "kilnhouse-drive", "plumtree-fuzz", "three-shelves-tone"):
        assert leaving(package(name)) is None
        assert movement(package(name)) is None


def test_an_oscillator_without_an_operational_amplifier_is_found() -> None:
    """The tremolo's transistor oscillator alone: the rest point's own check looks only where there are
    amplifiers.
    """
    found = voltage_table(read_text(TRANSISTOR), measured={"V": 9.0})
    assert found.oscillates
    assert found.nets["~Q1.c"].state is State.MOVES


def test_a_latch_rests_on_one_of_its_sides() -> None:
    text = """pedal Latch
supply V 9V wall
part U1 opamp TL071 v+=V v-=gnd
V > R1 10k > M > R2 10k > gnd
M > U1.inv
U1.out > R3 10k > U1.non
U1.non > R4 10k > M
"""
    found = voltage_table(read_text(text))
    assert not found.oscillates
    assert found.nets["~U1.out"].state is State.STEADY


TRANSISTOR = """pedal Phase shift
supply V 9V wall
part Q1 npn 2N5088
V > R1 10k > Q1.c
Q1.e > gnd
Q1.c > R2 3M3 > Q1.b
Q1.c > C1 680n (film) > S1 > R3 10k > gnd
S1 > C2 680n (film) > S2 > R4 4k7 > gnd
S2 > C3 680n (film) > Q1.b
"""


def test_package_circuits_are_all_told_or_refused_with_a_reason() -> None:
    told = {name: table(name) for name in circuits.names()}
    assert [name for name, found in told.items() if not found.is_sound] == ["three-shelves-tone"]
    assert "no supply" in told["three-shelves-tone"].refusals[0]
    for name, found in told.items():
        assert found.is_sound == bool(found.rows), name
        for row in found.rows:
            one = row.expected
            if one.state is State.STEADY:
                assert one.low_v is not None and one.typical_v is not None and one.high_v is not None
                assert one.low_v <= one.typical_v <= one.high_v, (name, row.place.key)
