"""Sound through players: lined up, let ring, kept on tape, switched by foot."""

from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest

from pedalwright.notation.reading import read_text
from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.foot_switch import FADE_S, FootSwitch, bypassed
from pedalwright.sound.movement import Flip, SwitchMovement
from pedalwright.sound.tape import Tape
from pedalwright.sound.through import KEPT_S, LONGEST_TAIL_S, RATE_HZ, Player, Tail, through

from .stand_ins import Echo, StandIn


def noise(frames: int, channels: int = 1, seed: int = 1) -> FloatArray:
    return np.random.default_rng(seed).uniform(-1.0, 1.0, (frames, channels))


def gathered(
    sound: FloatArray, players: Sequence[Player], tail: Tail, pieces: int = 5
) -> tuple[FloatArray, FloatArray]:
    pairs = list(through(np.array_split(sound, pieces), players, tail))
    before, after = (np.concatenate([pair[at] for pair in pairs]) for at in (0, 1))
    assert len(before) == len(after)
    return before, after


def test_what_goes_in_and_what_comes_out_stand_beside_each_other() -> None:
    sound = noise(30_000, channels=2)
    players = [StandIn(lambda in_v: -3.0 * in_v, latency_frames=1234) for _ in range(2)]
    before, after = gathered(sound, players, Tail(wanted_s=0.0))
    assert np.array_equal(before, sound)
    assert after == pytest.approx(-3.0 * sound)


def test_every_channel_has_a_player_of_its_own() -> None:
    sound = noise(5000, channels=2)
    _, after = gathered(sound, [StandIn(), StandIn(lambda in_v: 0.5 * in_v)], Tail(wanted_s=0.0))
    assert after == pytest.approx(sound * np.array([1.0, 0.5]))


def test_blocks_are_short_however_long_those_that_come_are() -> None:
    player = StandIn()
    gathered(noise(100_000), [player], Tail(wanted_s=0.0), pieces=1)
    assert max(player.blocks) <= 8192


@pytest.mark.parametrize("latency_frames", [0, 700, 20_000])
def test_an_echo_rings_until_it_has_died(latency_frames: int) -> None:
    """Half at each repeat: 60 dB, a thousandth, are gone after the tenth, for 2 to the 10th is 1024."""
    delay = RATE_HZ // 4
    click = np.zeros((100, 1))
    click[0] = 1.0
    tail = Tail()
    _, after = gathered(click, [StandIn(Echo(delay, 0.5), latency_frames)], tail, pieces=1)
    assert tail.has_died
    assert tail.last_loud - 1 == pytest.approx(9 * delay, abs=1)
    assert tail.kept_frames == tail.last_loud + round(KEPT_S * RATE_HZ) <= len(after)
    assert np.flatnonzero(np.abs(after[:, 0]) > 1e-6)[:3].tolist() == [0, delay, 2 * delay]


def test_what_never_dies_is_cut() -> None:
    tail = Tail()
    _, after = gathered(noise(100), [StandIn(Echo(5000, 1.0))], tail, pieces=1)
    assert not tail.has_died
    assert len(after) == 100 + round(LONGEST_TAIL_S * RATE_HZ) == tail.kept_frames


def test_a_tail_as_long_as_asked_for() -> None:
    sound = noise(1000)
    for seconds in (0.0, 0.01, 2.5):
        tail = Tail(wanted_s=seconds)
        _, after = gathered(sound, [StandIn(latency_frames=99)], tail)
        assert len(after) == 1000 + round(seconds * RATE_HZ) == tail.kept_frames


def test_silence_is_played_to_its_end_and_an_offset_is_silence() -> None:
    for player in (StandIn(), StandIn(lambda in_v: in_v + 4.5)):
        tail = Tail()
        _, after = gathered(np.zeros((200_000, 1)), [player], tail)
        assert len(after) == 200_000 and tail.has_died


def test_a_tape_gives_back_what_it_was_given(tmp_path: Path) -> None:
    sound = noise(150_000, channels=2)
    with Tape(tmp_path, 2) as tape:
        for piece in np.array_split(sound, 7):
            tape.add(piece)
        assert tape.frames == 150_000
        assert np.concatenate(list(tape.blocks())) == pytest.approx(sound, abs=1e-7)
        assert tape.read(149_999, 3) == pytest.approx(np.vstack([sound[-1:], np.zeros((2, 2))]), abs=1e-7)
        assert tape.read(-2, 3) == pytest.approx(np.vstack([np.zeros((2, 2)), sound[:1]]), abs=1e-7)
        assert np.array_equal(tape.read(200_000, 4), np.zeros((4, 2)))
        tape.cut(10)
        assert np.concatenate(list(tape.blocks())) == pytest.approx(sound[:10], abs=1e-7)
        tape.add(sound[:5])
        assert tape.read(10, 5) == pytest.approx(sound[:5], abs=1e-7)
    assert list(tmp_path.iterdir()) == []


def test_a_tape_leaves_nothing_behind_when_the_work_fails(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="no"), Tape(tmp_path, 1) as tape:
        tape.add(np.array([["no", "channels"]]))
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(("late", "dry_late"), [(0, 0), (40, 7), (3, 500)])
def test_a_foot_switch_lets_one_of_two_be_heard(late: int, dry_late: int) -> None:
    second = RATE_HZ
    movement = SwitchMovement(
        ref="BYPASS",
        stands_at="engaged",
        flips=(Flip(position="bypassed", at_s=0.5), Flip(position="engaged", at_s=1.0)),
    )
    foot = FootSwitch(StandIn(lambda in_v: 3.0 * in_v, late), StandIn(latency_frames=dry_late), movement)
    _, after = gathered(np.ones((2 * second, 1)), [foot], Tail(wanted_s=0.0))
    fade = round(FADE_S * second)
    assert np.all(after[: second // 2] == 3.0)
    assert np.all(after[second // 2 + fade : second] == 1.0)
    assert np.all(after[second + fade :] == 3.0)
    # Halfway through the fade it is halfway between.
    assert after[second // 2 + fade // 2, 0] == pytest.approx(2.0, abs=0.02)


def test_the_pedal_switched_out_is_its_source_into_its_load() -> None:
    circuit = bypassed(read_text("input IN pickup\noutput OUT 500k\nIN > R1 1k > OUT\nsupply V 9V wall\n"))
    assert circuit.parts == () and circuit.supplies == ()
    assert circuit.input is not None and circuit.output is not None
    assert (circuit.output.net, circuit.output.ohms, circuit.input.net) == ("IN", 500e3, "IN")
