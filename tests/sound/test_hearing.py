"""A wish heard through stand-ins for circuits: files, levels, comparisons."""

from pathlib import Path

import numpy as np
import pytest
import soundfile

from pedalwright import read_text
from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.circuit import Circuit
from pedalwright.sound.hearing import hear
from pedalwright.sound.movement import Movement
from pedalwright.sound.through import RATE_HZ
from pedalwright.sound.wish import GAP_S, Ending, Wish

from .hearing_of_a_wire import WIRE, samples, sine, through_function
from .stand_ins import Echo, StandIn, doubling


def test_one_volt_is_full_scale_and_nothing_is_raised(wire_pedal: Analysis, tmp_path: Path) -> None:
    goal = tmp_path / "out.wav"
    wish = Wish(sound="tone:1kHz,seconds=1s", level_v=0.1, tail_s=0.0)
    heard = hear(wire_pedal, goal, wish, make_player=doubling)
    (take,) = heard.takes
    assert heard.files == (goal,) and take.gain_db == 0.0 and take.ending is Ending.ASKED
    assert heard.input.peak_v == pytest.approx(0.1, rel=1e-3)
    assert take.output.peak_v == pytest.approx(0.2, rel=1e-3)
    assert np.abs(samples(goal)).max() == pytest.approx(0.2, rel=1e-3)
    assert samples(goal).shape == (RATE_HZ, 1)
    # A 1 kHz sine of peak A in one channel has 20 log10(A) - 3.01 LUFS: BS.1770-4's -0.691 dB is for this.
    assert take.output.loudness_lufs == pytest.approx(20 * np.log10(0.2) - 3.01, abs=0.15)
    assert heard.settings == (("VOL", "3"), ("MODE", "long"))
    assert "pickup" in heard.source_says


def test_what_is_too_loud_is_brought_down_and_said(wire_pedal: Analysis, tmp_path: Path) -> None:
    goal = tmp_path / "out.flac"
    loud = through_function(lambda in_v: 40.0 * in_v)
    heard = hear(
        wire_pedal, goal, Wish(sound="tone:1kHz,seconds=1s", level_v=0.1, tail_s=0.0), make_player=loud
    )
    take = heard.takes[0]
    assert take.output.peak_v == pytest.approx(4.0, rel=1e-3)
    assert take.gain_db < -13
    peak = np.abs(samples(goal)).max()
    assert 20 * np.log10(peak / take.output.peak_v) == pytest.approx(take.gain_db, abs=0.01)
    # -1 dBTP, or -16 LUFS where that is lower: a 1 kHz sine of -16 LUFS has a peak of -13 dB.
    assert 20 * np.log10(peak) == pytest.approx(-13.0, abs=0.2)


def test_the_level_is_that_expected_of_the_source_unless_it_is_said(
    wire_pedal: Analysis, tmp_path: Path
) -> None:
    heard = hear(wire_pedal, tmp_path / "a.wav", Wish(sound="click"), make_player=doubling)
    assert wire_pedal.circuit.input is not None
    assert heard.input.peak_v == pytest.approx(wire_pedal.circuit.input.level_v, rel=1e-6)


def test_a_file_of_two_channels_goes_through_two_circuits(wire_pedal: Analysis, tmp_path: Path) -> None:
    sound = sine(tmp_path / "in.wav", 0.8, channels=2, rate_hz=44100)
    wish = Wish(sound=str(sound), level_v=0.05, tail_s=0.0)
    heard = hear(wire_pedal, tmp_path / "out.wav", wish, make_player=doubling)
    found = samples(tmp_path / "out.wav")
    assert heard.channels == 2 and found.shape == (RATE_HZ, 2)
    middle = found[5000:-5000]
    assert np.abs(middle).max(axis=0) == pytest.approx([0.1, 0.05], rel=2e-3)
    mono = hear(
        wire_pedal, tmp_path / "m.wav", Wish(sound=str(sound), mono=True, tail_s=0.0), make_player=doubling
    )
    assert mono.channels == 1 and samples(tmp_path / "m.wav").shape == (RATE_HZ, 1)
    assert any("mixed to one" in remark for remark in mono.remarks)


def test_only_the_first_seconds(wire_pedal: Analysis, tmp_path: Path) -> None:
    sound = sine(tmp_path / "in.wav", 0.8)
    for asked in (str(sound), "pluck:E2"):
        wish = Wish(sound=asked, seconds=0.25, tail_s=0.0)
        heard = hear(wire_pedal, tmp_path / "out.wav", wish, make_player=doubling)
        assert heard.takes[0].seconds == pytest.approx(0.25)


def test_bypassed_then_engaged_are_equally_loud(wire_pedal: Analysis, tmp_path: Path) -> None:
    goal = tmp_path / "out.wav"
    wish = Wish(sound="tone:1kHz,seconds=2s", level_v=0.1, with_bypass=True, tail_s=0.0)
    heard = hear(wire_pedal, goal, wish, make_player=doubling)
    dry, engaged = heard.takes
    assert (dry.label, engaged.label) == ("bypassed", "engaged") and heard.matched
    assert engaged.output.peak_v == pytest.approx(2 * dry.output.peak_v, rel=1e-3)
    assert dry.gain_db == pytest.approx(0.0, abs=1e-9)
    assert engaged.gain_db == pytest.approx(-20 * np.log10(2), abs=0.01)
    assert engaged.start_s == pytest.approx(2.0 + GAP_S)
    found = samples(goal)
    first, gap, second = found[: 2 * RATE_HZ], found[2 * RATE_HZ : -2 * RATE_HZ], found[-2 * RATE_HZ :]
    assert len(gap) == round(GAP_S * RATE_HZ) and not gap.any()
    assert np.abs(second).max() == pytest.approx(np.abs(first).max(), rel=1e-3)


def test_two_positions_in_two_files(wire_pedal: Analysis, tmp_path: Path) -> None:
    played: list[float | str | None] = []

    def gain_of_knob(circuit: Circuit, movements: tuple[Movement, ...], wish: Wish) -> StandIn:
        setting = circuit.by_ref["VOL"].setting
        played.append(setting)
        gain = float(setting or 0.0)
        return StandIn(lambda in_v: gain * in_v)

    wish = Wish(sound="tone:1kHz,seconds=1s", level_v=0.02, two_files=True, tail_s=0.0)
    heard = hear(wire_pedal, tmp_path / "out.wav", wish, other_settings={"VOL": 6}, make_player=gain_of_knob)
    assert played == [3.0, 6.0]
    assert [take.label for take in heard.takes] == ["A, VOL at 3", "B, VOL at 6"]
    assert heard.files == (tmp_path / "out-a.wav", tmp_path / "out-b.wav")
    one, other = (samples(path) for path in heard.files)
    assert other == pytest.approx(one, abs=1e-3)


def test_another_circuit(wire_pedal: Analysis, tmp_path: Path) -> None:
    other = read_text(WIRE.replace("pedal Wire", "pedal Thread"))
    heard = hear(wire_pedal, tmp_path / "out.wav", Wish(sound="click"), against=other, make_player=doubling)
    assert [take.label for take in heard.takes] == ["A, Wire", "B, Thread"]


def test_silence_stays_silence(wire_pedal: Analysis, tmp_path: Path) -> None:
    soundfile.write(tmp_path / "in.wav", np.zeros(RATE_HZ), RATE_HZ)
    wish = Wish(sound=str(tmp_path / "in.wav"), with_bypass=True)
    heard = hear(wire_pedal, tmp_path / "out.wav", wish, make_player=doubling)
    assert not samples(tmp_path / "out.wav").any()
    assert not heard.matched and heard.takes[0].output.loudness_lufs is None
    assert all(take.gain_db == 0.0 for take in heard.takes)


def test_the_foot_switch_pressed_while_it_plays(wire_pedal: Analysis, tmp_path: Path) -> None:
    wish = Wish(
        sound="tone:1kHz,seconds=2s",
        level_v=0.1,
        moves=("BYPASS bypassed at 1s", "VOL 3 7 over 1s"),
        tail_s=0.0,
    )
    seen: list[tuple[str, ...]] = []

    def noted(circuit: Circuit, movements: tuple[Movement, ...], wish: Wish) -> StandIn:
        seen.append(tuple(one.ref for one in movements))
        return doubling(circuit, movements, wish)

    hear(wire_pedal, tmp_path / "out.wav", wish, make_player=noted)
    assert seen == [("VOL",), ()]
    found = np.abs(samples(tmp_path / "out.wav")[:, 0])
    assert found[: RATE_HZ - 100].max() == pytest.approx(0.2, rel=1e-3)
    assert found[RATE_HZ + 1000 :].max() == pytest.approx(0.1, rel=1e-3)


def test_the_picture_knows_what_went_in_and_what_came_out(wire_pedal: Analysis, tmp_path: Path) -> None:
    echo = through_function(Echo(RATE_HZ // 4, 0.5))
    wish = Wish(sound="click", level_v=0.4, picture=True)
    heard = hear(wire_pedal, tmp_path / "out.wav", wish, make_player=echo)
    assert heard.looks is not None and heard.takes[0].ending is Ending.DIED
    assert heard.looks.before.high_v.max() == pytest.approx(0.4, rel=1e-3)
    assert heard.looks.seconds == pytest.approx(heard.takes[0].seconds)
    # The octave around 1 kHz falls by 6.02 dB from repeat to repeat, a quarter of a second apart.
    octave, columns = heard.looks.octaves_db[4], heard.looks.octaves_db.shape[1]
    peaks = [
        octave[
            int(at / heard.looks.seconds * columns) - 4 : int(at / heard.looks.seconds * columns) + 5
        ].max()
        for at in (0.252, 0.502, 0.752)
    ]
    assert np.diff(peaks) == pytest.approx([-6.02, -6.02], abs=0.7)
    assert heard.repeats == ()


def test_how_much_is_done_is_told(wire_pedal: Analysis, tmp_path: Path) -> None:
    told: list[tuple[str, float | None]] = []
    wish = Wish(sound="noise,seconds=1s", tail_s=0.5, with_bypass=True)
    hear(wire_pedal, tmp_path / "out.wav", wish, make_player=doubling, told=lambda *said: told.append(said))
    shares = [share for doing, share in told if doing == "Playing" and share is not None]
    assert shares == sorted(shares) and shares[-1] == 1.0 and len(shares) == len(told) > 10


def test_every_channel_has_noise_of_its_own(wire_pedal: Analysis, tmp_path: Path) -> None:
    seeds: list[int] = []

    def noted(circuit: Circuit, movements: tuple[Movement, ...], wish: Wish) -> StandIn:
        seeds.append(wish.seed)
        return StandIn()

    sound = sine(tmp_path / "in.wav", 0.5, channels=2)
    heard = hear(wire_pedal, tmp_path / "out.wav", Wish(sound=str(sound), seed=7), make_player=noted)
    assert seeds == [7, 8] and heard.seed == 7
