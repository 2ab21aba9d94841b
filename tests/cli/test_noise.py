"""The verb `noise`: what it prints, its files, its JSON against the manual, its exit status."""

import json
import re
from pathlib import Path

import pytest

from pedalwright import circuits
from pedalwright.solve import certificate
from tests.report.pages import assert_sound
from tests.report.schemas import documented_keys, keys_of

from .running import run

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    for name in circuits.names():
        Path(f"{name}.pedal").write_text(circuits.text(name), encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize("name", circuits.names())
def test_every_circuit_is_told(name: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = run(capsys, "noise", f"{name}.pedal")
    assert (status, err) == (0, "")
    assert "it hisses" in out and "Who makes it" in out and "What would help" in out
    assert "NOT certified" not in out and not re.search(r"\b(nan|inf)\b", out)


def test_the_echo_pedal_told(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, "noise", "lantern-echo.pedal")
    assert "echo chip, its conversion" in out and "an estimate" in out
    assert "comes back once round" in out and "nV/√Hz" in out


def test_the_source_and_the_place_may_be_chosen(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for word, said in (("shorted", "With the input shorted"), ("open", "With nothing plugged in")):
        status, out, _ = run(capsys, "noise", "lantern-echo.pedal", "--source", word)
        assert status == 0 and out.count(said) == 1
    status, out, _ = run(capsys, "noise", "lantern-echo.pedal", "--at", "U1a.out", "--json")
    assert status == 0
    found = json.loads(out)
    assert found["at"] == "DRY"
    status, out, _ = run(capsys, "noise", "lantern-echo.pedal", "--at", "DRY", "--json")
    assert json.loads(out) == found


def test_a_knob_moves_the_noise(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    levels = []
    for place in ("0", "5", "10"):
        _, out, _ = run(capsys, "noise", "lantern-echo.pedal", "--set", f"LEVEL={place}", "--json")
        found = json.loads(out)
        assert found["settings"]["LEVEL"] == str(float(place))
        levels.append(found["inputs"][1]["weighted_v"])
    assert levels == sorted(levels) and levels[0] < levels[-1] / 2


def test_json_has_the_documented_keys_and_no_others(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found: set[str] = set()
    for name in ("lantern-echo", "lesson-inverting-amplifier", "ferryman-phaser"):
        status, out, err = run(capsys, "noise", f"{name}.pedal", "--json")
        assert (status, err) == (0, "")
        found |= keys_of(json.loads(out))
    assert found == documented_keys(ROOT, "pedalwright.noise/1")


def test_files_are_whole(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(capsys, "noise", "lantern-echo.pedal", "--html", "a.html", "--markdown", "a.md")
    assert (status, out) == (0, "")
    page = assert_sound(Path("a.html").read_text(encoding="utf-8"))
    assert len(page.all("svg")) == 1
    assert "# Lantern Echo: the noise" in Path("a.md").read_text(encoding="utf-8")
    status, out, _ = run(capsys, "noise", "lantern-echo.pedal", "--markdown")
    assert (status, out) == (0, Path("a.md").read_text(encoding="utf-8"))


def test_silence_is_told_as_silence(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    jacks = "input IN pickup\noutput OUT 1M\nswitch MUTE on off at on\n"
    text = f"{jacks}IN > R1 10k > OUT > MUTE.common\nMUTE.on > gnd\n"
    Path("mute.pedal").write_text(text, encoding="utf-8")
    status, out, _ = run(capsys, "noise", "mute.pedal")
    assert status == 0 and "nothing at all is heard at OUT" in out and "Spectrum" not in out
    status, out, _ = run(capsys, "noise", "mute.pedal", "--set", "MUTE=off")
    assert status == 0 and "it hisses" in out


def test_a_loop_that_runs_away_is_a_no(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = circuits.text("lantern-echo").replace("R17 30k", "R17 15k")
    Path("loud.pedal").write_text(text, encoding="utf-8")
    status, out, _ = run(capsys, "noise", "loud.pedal", "--set", "REPEATS=10")
    assert status == 1
    assert "runs away at these knob positions" in out and "it hisses" not in out
    assert "Who makes it" not in out and "with nothing coming back it is" in out
    status, out, _ = run(capsys, "noise", "loud.pedal", "--set", "REPEATS=10", "--json")
    found = json.loads(out)
    assert status == 1 and found["sound"] is False
    assert {one["weighted_v"] for one in found["inputs"]} == {None}


def test_what_is_not_certified_is_not_printed(
    folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(certificate, "RESIDUAL_BOUND", -1.0)
    status, out, err = run(capsys, "noise", "lantern-echo.pedal")
    assert (status, err) == (1, "")
    assert "not certified" in out and "µV" not in out


@pytest.mark.parametrize(
    ("arguments", "hint"),
    [
        (("no-such.pedal",), "no-such.pedal"),
        (("lantern-echo.pedal", "--at", "out"), "did you mean OUT?"),
        (("lantern-echo.pedal", "--at", "gnd"), "Nothing can be heard"),
        (("lantern-echo.pedal", "--source", "guitar"), "shorted"),
        (("lantern-echo.pedal", "--set", "REPEATS=11"), "0 to 10"),
        (("lantern-echo.pedal", "--json", "--markdown"), "--json has the output to itself"),
        (("lantern-echo.pedal", "--html", "x.pedal"), "another ending"),
        (("empty.pedal",), "--at NET"),
    ],
)
def test_questions_that_cannot_be_answered(
    folder: Path, capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], hint: str
) -> None:
    Path("empty.pedal").write_text("A > R1 10k > gnd\n", encoding="utf-8")
    status, out, err = run(capsys, "noise", *arguments)
    assert (status, out) == (2, "")
    assert hint in err and "Traceback" not in err
