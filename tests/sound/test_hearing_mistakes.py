"""A wish that cannot be heard: what is said, and that nothing is left behind or written over."""

from pathlib import Path

import numpy as np
import pytest

from pedalwright import read_text
from pedalwright.analysis.memo import Analysis
from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.asking import HearingMistake
from pedalwright.sound.hearing import hear
from pedalwright.sound.unusable import UnusableSound
from pedalwright.sound.wish import Wish

from .hearing_of_a_wire import sine, through_function
from .stand_ins import doubling, wire


@pytest.mark.parametrize("problem", [KeyboardInterrupt, MemoryError])
def test_an_interrupt_leaves_nothing_behind(
    problem: type[BaseException], wire_pedal: Analysis, tmp_path: Path
) -> None:
    (tmp_path / "out.wav").write_bytes(b"what was there")

    def breaking(in_v: FloatArray) -> FloatArray:
        raise problem

    with pytest.raises(problem):
        hear(wire_pedal, tmp_path / "out.wav", Wish(), make_player=through_function(breaking))
    assert [path.name for path in tmp_path.iterdir()] == ["out.wav"]
    assert (tmp_path / "out.wav").read_bytes() == b"what was there"


def test_what_comes_out_that_is_no_number_is_not_written(wire_pedal: Analysis, tmp_path: Path) -> None:
    broken = through_function(lambda in_v: in_v * np.nan)
    with pytest.raises(UnusableSound, match="no number"):
        hear(wire_pedal, tmp_path / "out.wav", Wish(sound="click"), make_player=broken)
    assert list(tmp_path.iterdir()) == []


def test_everything_that_is_wrong_is_told_at_once(wire_pedal: Analysis, tmp_path: Path) -> None:
    wish = Wish(
        sound="pluk:E2",
        level_v=-1.0,
        moves=("TIME 3 7 over 4s",),
        swings=("VOL 1 2",),
        seconds=0.0,
        tail_s=-1.0,
        oversampling=3,
    )
    with pytest.raises(HearingMistake) as caught:
        hear(wire_pedal, tmp_path / "out.wav", wish, other_settings={"VOL": 11}, make_player=doubling)
    assert len(caught.value.sentences) == 8
    assert "did you mean pluck?" in str(caught.value)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("name", "hint"),
    [
        ("out.mp3", "End the name in .wav or .flac"),
        ("out", "End the name in"),
        ("a.pedal", "circuit"),
        ("nowhere/out.wav", "There is no folder"),
        ("in.wav", "what the sound is made from"),
        ("mine.flac", "what the sound is made from"),
    ],
)
def test_names_a_sound_cannot_have(name: str, hint: str, wire_pedal: Analysis, tmp_path: Path) -> None:
    sound = sine(tmp_path / "in.wav", 0.5)
    mine = tmp_path / "mine.flac"
    mine.write_bytes(b"mine")
    before = sound.read_bytes()
    with pytest.raises(UnusableSound, match=hint):
        hear(
            wire_pedal,
            tmp_path / name,
            Wish(sound=str(sound)),
            spare=(mine,),
            make_player=through_function(wire),
        )
    assert sound.read_bytes() == before and mine.read_bytes() == b"mine"


def test_a_circuit_without_jacks(tmp_path: Path) -> None:
    with pytest.raises(HearingMistake) as caught:
        hear(read_text("supply V 9V wall\nV > R1 1k > gnd\n"), tmp_path / "out.wav", make_player=doubling)
    assert len(caught.value.sentences) == 2


def test_two_ways_to_compare_at_once(wire_pedal: Analysis, tmp_path: Path) -> None:
    with pytest.raises(HearingMistake, match="one of the two"):
        hear(
            wire_pedal,
            tmp_path / "out.wav",
            against=wire_pedal,
            other_settings={"VOL": 1},
            make_player=doubling,
        )
