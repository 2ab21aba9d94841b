"""The verb `hear`: names chosen, values read, everything wrong told at once, nothing half written."""

import json
import re
import shlex
import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import soundfile

import pedalwright as pw
from pedalwright import circuits
from pedalwright.circuit.circuit import Circuit
from pedalwright.cli.hear import command
from pedalwright.sound import hearing
from pedalwright.sound.movement import Movement
from pedalwright.sound.unusable import unusable
from pedalwright.sound.wish import DEFAULT_SOUND, Wish
from tests.report.pages import assert_sound
from tests.sound.stand_ins import StandIn, doubling

from .running import run


@pytest.fixture
def lantern(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A circuit in a folder of its own, and players that only double."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(hearing, "usual_player", doubling)
    Path("lantern.pedal").write_text(circuits.text("lantern-echo"), encoding="utf-8")
    return tmp_path


def files(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()} - {"lantern.pedal"}


def test_the_sound_played_unless_one_is_named() -> None:
    sound = next(one for one in command.params if one.name == "sound")
    assert sound.default == DEFAULT_SOUND


def test_a_new_name_is_chosen_and_told(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for name in ("lantern-pluck-E2.wav", "lantern-pluck-E2-2.wav", "lantern-pluck-E2-3.wav"):
        status, out, err = run(
            capsys, "hear", "lantern.pedal", "pluck:E2", "--seconds", "100ms", "--tail", "0s"
        )
        assert (status, err) == (0, "")
        assert f"{name} has been written: engaged (48 kHz, 24 bits)." in out
    assert files(lantern) == {"lantern-pluck-E2.wav", "lantern-pluck-E2-2.wav", "lantern-pluck-E2-3.wav"}


def test_levels_are_stated_in_volts_with_the_source(
    lantern: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, out, _ = run(
        capsys,
        "hear",
        "lantern.pedal",
        "tone:1kHz,seconds=1s",
        "--level",
        "0.2V",
        "--tail",
        "0",
        "--wav",
        "a.flac",
    )
    assert status == 0
    assert "200 mV peak" in out and "a magnetic pickup with its volume knob and cable" in out
    assert "400 mV" in out and "LUFS" in out and "Turn the volume down" in out
    samples, rate_hz = soundfile.read("a.flac")
    assert rate_hz == 48000 and np.abs(samples).max() == pytest.approx(10 ** (-13 / 20), rel=0.05)


def test_a_name_that_is_taken_is_said_to_be_replaced(
    lantern: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    Path("a.wav").write_bytes(b"before")
    status, out, _ = run(capsys, "hear", "lantern.pedal", "click", "--wav", "a.wav")
    assert status == 0 and "in the place of the file of that name" in out
    assert soundfile.info("a.wav").samplerate == 48000


def test_as_json(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = run(
        capsys, "hear", "lantern.pedal", "click", "--bypass", "--json", "--set", "TIME=7", "--wav", "a.wav"
    )
    data = json.loads(out)
    assert (status, err, data["schema"]) == (0, "", "pedalwright.hear/1")
    assert [take["label"] for take in data["takes"]] == ["bypassed", "engaged"]
    assert data["settings"]["TIME"] == "7"


def test_what_moves_reaches_the_players(
    lantern: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[tuple[tuple[str, ...], Wish]] = []

    def noted(circuit: Circuit, movements: tuple[Movement, ...], wish: Wish) -> StandIn:
        seen.append((tuple(movement.ref for movement in movements), wish))
        return doubling(circuit, movements, wish)

    monkeypatch.setattr(hearing, "usual_player", noted)
    words = ("--move", "TIME 3 7 over 4s", "--move", "TIME 5 at 6s", "--lfo", "LEVEL 2 8 every 500ms")
    status, out, _ = run(
        capsys, "hear", "lantern.pedal", "click", *words, "--oversample", "4", "--power-on", "--wav", "a.wav"
    )
    assert status == 0 and "TIME 3 7 over 4s; TIME 5 at 6s; LEVEL 2 8 every 500ms" in out
    ((refs, wish),) = seen
    assert refs == ("TIME", "LEVEL") and (wish.oversampling, wish.power_on) == (4, True)


def test_two_circuits_and_two_positions(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    Path("other.pedal").write_text(circuits.text("kilnhouse-drive"), encoding="utf-8")
    status, out, _ = run(
        capsys, "hear", "lantern.pedal", "click", "--against", "other.pedal", "--two-files", "--wav", "ab.wav"
    )
    assert status == 0 and "ab-a.wav" in out and "ab-b.wav" in out and "Kilnhouse" in out
    status, out, _ = run(
        capsys, "hear", "lantern.pedal", "click", "--against-set", "REPEATS=8", "--wav", "a.wav"
    )
    assert status == 0 and "A, REPEATS at 5, then B, REPEATS at 8" in out
    assert files(lantern) == {"other.pedal", "ab-a.wav", "ab-b.wav", "a.wav"}


def test_pictures_and_a_page_with_the_sound(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for name in ("a.svg", "a.html"):
        status, _, err = run(capsys, "hear", "lantern.pedal", "click", "--wav", "a.wav", "--picture", name)
        assert (status, err) == (0, "")
    page = assert_sound(Path("a.html").read_text(encoding="utf-8"))
    assert len(page.all("audio")) == 1
    # The computed times of the repeats are marked: Lantern has a chip and nothing moves.
    assert page.all("svg")[-1].text.count("Marks: 1 at 0.3") == 1


def test_everything_wrong_is_told_at_once(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = (
        "--level",
        "0V",
        "--move",
        "TIEM 3",
        "--lfo",
        "TIME 1 2",
        "--tail",
        "1000s",
        "--against-set",
        "LEVEL=12",
    )
    status, out, err = run(capsys, "hear", "lantern.pedal", "nothing.wav", *words)
    assert (status, out) == (2, "")
    for words_told in (
        "The level must lie above 0 V",
        "did you mean TIME?",
        "write it like TIME 4 6 every 2s",
        "The tail must last",
        "LEVEL cannot stand at '12'",
        "There is no file nothing.wav",
    ):
        assert words_told in err, words_told
    assert files(lantern) == set() and "Traceback" not in err


@pytest.mark.parametrize(
    ("words", "hint"),
    [
        (("--level", "loud"), "--level"),
        (("--seconds", "5kHz"), "--seconds"),
        (("--oversample", "3"), "'3' is not one of"),
        (("--picture", "a.png"), ".svg or .html"),
        (("--wav", "a.mp3"), "End the name in .wav or .flac"),
        (("--wav", "lantern.pedal"), "circuit"),
        (("--wav", "nowhere/a.wav"), "There is no folder"),
        (("--against-set", "TIME"), "--against-set takes KNOB=POSITION"),
        (("--set", "TIME=11"), "knobs go from 0 to 10"),
        (("--against", "nothing.pedal"), "There is no file nothing.pedal"),
    ],
)
def test_what_cannot_be_is_told(
    words: tuple[str, ...], hint: str, lantern: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = Path("lantern.pedal").read_bytes()
    status, _, err = run(capsys, "hear", "lantern.pedal", "click", *words)
    assert status == 2 and hint in err and "Traceback" not in err
    assert files(lantern) == set() and Path("lantern.pedal").read_bytes() == before


def raising(problem: BaseException) -> Callable[..., StandIn]:
    def function(in_v: np.ndarray) -> np.ndarray:
        raise problem

    return lambda circuit, movements, wish: StandIn(function)


def test_an_interrupt_is_one_sentence_and_leaves_nothing(
    lantern: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(hearing, "usual_player", raising(KeyboardInterrupt()))
    status, _, err = run(capsys, "hear", "lantern.pedal", "--picture", "a.html")
    assert (status, err) == (2, "pedalwright: stopped before it was done.\n")
    assert files(lantern) == set()


class Terminal:
    """The error stream as a terminal has it."""

    def __init__(self) -> None:
        self.written = ""
        self.encoding = "utf-8"

    def write(self, text: str) -> int:
        self.written += text
        return len(text)

    def flush(self) -> None:
        pass

    def isatty(self) -> bool:
        return True

    def fileno(self) -> int:
        raise OSError


def test_progress_is_shown_on_a_terminal_and_machine_code_announced(
    lantern: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from pedalwright.solve import compiled

    for warm, words in ((True, "Making ready"), (False, "machine code")):
        terminal = Terminal()
        monkeypatch.setattr(sys, "stderr", terminal)
        monkeypatch.setattr(compiled, "is_warm", lambda warm=warm: warm)
        monkeypatch.setenv("TERM", "xterm")
        status, _, _ = run(capsys, "hear", "lantern.pedal", "click", "--wav", "a.wav")
        assert status == 0 and words in terminal.written


def test_every_command_of_the_manual_page_runs(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    page = (Path(__file__).resolve().parents[2] / "docs" / "hear.md").read_text(encoding="utf-8")
    commands = "".join(re.findall(r"^```sh\n(.*?)^```", page, re.MULTILINE | re.DOTALL)).splitlines()
    assert len(commands) >= 5
    for line in commands:
        program, *arguments = shlex.split(line)
        status, _, err = run(capsys, *arguments)
        assert (program, status, err) == ("pedalwright", 0, ""), line


def test_the_same_from_python(lantern: Path) -> None:
    heard = pw.hear(pw.read("lantern.pedal"), "a.wav", "click", level_v=0.2, with_bypass=True)
    assert [take.label for take in heard.takes] == ["bypassed", "engaged"]
    assert heard.takes[1].output.peak_v == pytest.approx(0.4, rel=1e-3)
    with pytest.raises(ValueError, match="The level must lie above 0 V"):
        pw.hear(pw.read("lantern.pedal"), "a.wav", level_v=-1.0)


def test_a_walk_with_sound_in_its_page(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, _, err = run(capsys, "walk", "lantern.pedal", "--html", "a.html", "--sound")
    assert (status, err) == (0, "")
    page = assert_sound(Path("a.html").read_text(encoding="utf-8"))
    captions = [element.text for element in page.all("figcaption") if "volume down" in element.text]
    assert [caption.partition(" ")[0] for caption in captions] == ["Bypassed", "Engaged"]
    assert len(page.all("audio")) == 2
    status, _, err = run(capsys, "walk", "lantern.pedal", "--html", "b.html")
    assert status == 0 and "<audio" not in Path("b.html").read_text(encoding="utf-8")
    status, _, err = run(capsys, "walk", "lantern.pedal", "--sound")
    assert status == 2 and "--html" in err


def test_a_walk_whose_circuit_cannot_be_played_says_why(
    lantern: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    Path("deaf.pedal").write_text("supply V 9V wall\nV > R1 1k > A > R2 1k > gnd\n", encoding="utf-8")
    run(capsys, "walk", "deaf.pedal", "--html", "a.html", "--sound")
    text = Path("a.html").read_text(encoding="utf-8")
    assert_sound(text)
    assert "There is nothing to hear" in text and "<audio" not in text


def test_what_cannot_be_played_with_certainty_is_an_answer(
    lantern: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    lost = unusable("sound.lost", "No solution is found near D1.", "", "Lower the level.")
    monkeypatch.setattr(hearing, "usual_player", raising(lost))
    status, out, err = run(capsys, "hear", "lantern.pedal")
    assert (status, out) == (1, "") and "near D1" in err
    assert files(lantern) == set()
