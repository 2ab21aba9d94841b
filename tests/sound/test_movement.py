"""Movements read from text, all mistakes told at once, and where a knob stands at any time."""

import numpy as np
import pytest
from scipy import signal

from pedalwright.circuit.circuit import Circuit
from pedalwright.notation.reading import read_text
from pedalwright.sound.movement import Glide, KnobMovement, Shape, SwitchMovement
from pedalwright.sound.movement_reading import MovementMistake, read_movements

TEXT = """pedal Moving
input IN line
output OUT 1M
knob TIME 10k linear at 2
knob TONE 10k linear
switch MODE short long at short
IN > TIME.3
TIME.2 > OUT
TIME.1 > gnd
OUT > TONE.3
TONE.2 > TONE.1 > gnd
OUT > MODE.common
MODE.long > R1 1k > gnd
MODE.short > R2 2k > gnd
"""
CIRCUIT = read_text(TEXT)


def one(*moves: str, swings: tuple[str, ...] = (), circuit: Circuit = CIRCUIT) -> KnobMovement:
    (movement,) = read_movements(circuit, moves, swings)
    assert isinstance(movement, KnobMovement)
    return movement


def at(movement: KnobMovement, *times_s: float) -> list[float]:
    return [float(value) for value in movement.positions(np.array(times_s))]


def test_a_glide_is_a_straight_line_between_its_ends() -> None:
    movement = one("TIME 3 7 over 4s at 2s")
    assert movement.ref == "TIME"
    times_s = np.linspace(0, 10, 101)
    # NumPy's own interpolation through the same corners; before them the knob stands as the circuit says.
    wanted = np.where(times_s < 2.0, 2.0, np.interp(times_s, [2.0, 6.0], [3.0, 7.0]))
    assert movement.positions(times_s) == pytest.approx(wanted)
    assert movement.span == (2.0, 7.0) and movement.moves_until_s == 6.0


def test_where_the_beginning_is_left_unsaid_it_goes_on_from_where_the_knob_stands() -> None:
    movement = one("TIME 8 over 1s at 5s", "TIME 6 over 2s")
    assert movement.glides == (
        Glide(first=2.0, last=6.0, start_s=0.0, over_s=2.0),
        Glide(first=6.0, last=8.0, start_s=5.0, over_s=1.0),
    )
    assert at(movement, 0.0, 1.0, 4.0, 5.5, 9.0) == pytest.approx([2.0, 4.0, 6.0, 7.0, 8.0])


def test_a_turn_in_no_time_is_there_at_once() -> None:
    assert at(one("TONE 9 at 500ms"), 0.49999, 0.5, 3.0) == [5.0, 9.0, 9.0]


def test_a_swing_is_a_sine_or_a_triangle() -> None:
    times_s = np.linspace(0, 7, 701)
    sine = one(swings=("TIME 4 6 every 2s",))
    assert sine.positions(times_s) == pytest.approx(5 + np.sin(np.pi * times_s))
    triangle = one(swings=("TIME 4 6 at 0.5Hz triangle",))
    assert triangle.swing is not None and triangle.swing.shape is Shape.TRIANGLE
    # SciPy's triangle (a sawtooth of width one half) starts at its lowest: a quarter turn earlier than ours.
    wanted = 5 + signal.sawtooth(np.pi * times_s + np.pi / 2, width=0.5)
    assert triangle.positions(times_s) == pytest.approx(wanted)
    assert triangle.span == (4.0, 6.0) and triangle.moves_until_s == np.inf


def test_a_switch_and_the_foot_switch_around_everything() -> None:
    mode, bypass = read_movements(CIRCUIT, ("MODE long at 3s", "BYPASS engaged at 4s", "BYPASS bypassed"))
    assert isinstance(mode, SwitchMovement) and isinstance(bypass, SwitchMovement)
    assert [mode.position(time) for time in (0.0, 2.9, 3.0, 9.0)] == ["short", "short", "long", "long"]
    assert [bypass.position(time) for time in (0.0, 3.9, 4.0)] == ["bypassed", "bypassed", "engaged"]
    times_s = np.array([0.0, 3.9, 4.0, 8.0])
    assert bypass.among("bypassed", times_s).tolist() == [True, True, False, False]


def test_a_foot_switch_of_the_circuit_itself_has_its_own_positions() -> None:
    circuit = read_text(TEXT.replace("MODE", "BYPASS"))
    (movement,) = read_movements(circuit, ("BYPASS long at 1s",))
    assert isinstance(movement, SwitchMovement) and movement.stands_at == "short"
    with pytest.raises(MovementMistake, match="no position 'engaged'"):
        read_movements(circuit, ("BYPASS engaged at 1s",))


@pytest.mark.parametrize(
    ("move", "hint"),
    [
        ("TIME", "'TIME' is no movement; write it like TIME 3 7 over 4s at 2s."),
        ("", "is no movement"),
        ("TIME 3 7 8 over 4s", "is no movement"),
        ("TIME 3 7 over", "is no movement"),
        ("TIME 3 7 over 4s over 5s", "is no movement"),
        ("TIME 3 11 over 4s", "TIME cannot stand at '11'; knobs go from 0 to 10."),
        ("TIEM 3 7 over 4s", "did you mean TIME?"),
        ("R1 3 7 over 4s", "R1 is a resistor, not a knob or a switch"),
        ("TIME 3 7 over 4kHz", "In 'TIME 3 7 over 4kHz'"),
        ("TIME 3 7 over -1s", "In 'TIME 3 7 over -1s'"),
        ("MODE short long at 1s", "write 'MODE POSITION at 3s'"),
        ("MODE long over 1s", "write 'MODE POSITION at 3s'"),
        ("MODE middle at 1s", "MODE has no position 'middle'; it has short, long."),
        ("BYPASS off", "BYPASS is engaged or bypassed, not 'off'."),
    ],
)
def test_a_move_that_cannot_be_read_says_why(move: str, hint: str) -> None:
    with pytest.raises(MovementMistake) as caught:
        read_movements(CIRCUIT, (move,))
    (sentence,) = caught.value.sentences
    assert hint in sentence


@pytest.mark.parametrize(
    ("swing", "hint"),
    [
        ("TIME 4 6", "write it like TIME 4 6 every 2s."),
        ("TIME 4 every 2s", "does not say between what"),
        ("TIME 4 6 every 2s at 1Hz", "does not say between what"),
        ("TIME 4 6 every 2s sine triangle", "does not say between what"),
        ("TIME 4 6 every 1ms", "from 20 ms to one day"),
        ("TIME 4 6 at 0Hz", "from 20 ms to one day"),
        ("MODE short long every 2s", "MODE is a switch and cannot swing"),
    ],
)
def test_a_swing_that_cannot_be_read_says_why(swing: str, hint: str) -> None:
    with pytest.raises(MovementMistake, match="|".join([hint.replace("(", r"\(")])):
        read_movements(CIRCUIT, (), (swing,))


def test_what_cannot_happen_together_is_told() -> None:
    cases = (
        ((("TIME 3 7 over 4s", "TIME 2 over 1s at 3s"), ()), "TIME is still moving at 3 s"),
        ((("TIME 3", "TIME 4"), ()), "TIME is still moving at 0 s"),
        ((("TIME 3 7 over 4s",), ("TIME 4 6 every 2s",)), "TIME swings and moves besides"),
        (((), ("TIME 4 6 every 2s", "TIME 1 2 every 3s")), "TIME swings and moves besides"),
        ((("MODE long at 1s", "MODE short at 1s"), ()), "two positions at the same moment"),
    )
    for (moves, swings), hint in cases:
        with pytest.raises(MovementMistake, match=hint):
            read_movements(CIRCUIT, moves, swings)


def test_all_mistakes_are_told_together() -> None:
    with pytest.raises(MovementMistake) as caught:
        read_movements(CIRCUIT, ("TIME 12 at 1s", "TONE over", "MODE long at 3s"), ("NOTHING 1 2 every 2s",))
    assert len(caught.value.sentences) == 3


def test_knobs_keep_the_order_in_which_they_are_first_named() -> None:
    found = read_movements(CIRCUIT, ("TONE 3 at 1s", "TIME 3 at 1s", "TONE 4 at 2s"), ())
    assert [movement.ref for movement in found] == ["TONE", "TIME"]
    first = found[0]
    assert isinstance(first, KnobMovement) and at(first, 0.0, 1.0, 2.0) == [5.0, 3.0, 4.0]
