"""The verb `repeats`: what it prints, its files, its JSON against the manual, its exit status."""

import json
import re
from pathlib import Path

import pytest

from pedalwright import circuits
from pedalwright.analysis.echo_answers import echo_answers
from pedalwright.analysis.memo import Analysis
from pedalwright.cli.main import main
from pedalwright.notation import read_text
from pedalwright.report.repeats_json import repeats_data
from tests.echo.test_envelope import FOLLOWER
from tests.report.schemas import documented_keys, keys_of

ROOT = Path(__file__).parents[2]


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    for name in ("lantern-echo", "grainloft-reverb", "duckpond-chorus", "kilnhouse-drive"):
        Path(f"{name}.pedal").write_text(circuits.text(name), encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize("name", ["lantern-echo", "grainloft-reverb", "duckpond-chorus"])
def test_an_echo_is_told(name: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["repeats", f"{name}.pedal", "--count", "4"]) == 0
    told = capsys.readouterr().out
    assert "The first repeat comes after" in told
    assert "How far to trust these numbers" in told
    assert not re.search(r"\b(nan|inf)\b", told)


def test_a_circuit_without_an_echo_chip(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["repeats", "kilnhouse-drive.pedal"]) == 1
    assert "no echo chip" in capsys.readouterr().err


def test_what_cannot_be_used(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["repeats", "no-such.pedal"]) == 2
    assert main(["repeats", "lantern-echo.pedal", "--set", "REPEATS=11"]) == 2
    assert main(["repeats", "lantern-echo.pedal", "--count", "0"]) == 2
    assert main(["repeats", "lantern-echo.pedal", "--json", "--markdown"]) == 2


def test_json_has_the_documented_keys_and_no_others(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found: set[str] = set()
    Path("follower.pedal").write_text(FOLLOWER, encoding="utf-8")
    for name in ("lantern-echo", "grainloft-reverb", "duckpond-chorus", "follower"):
        assert main(["repeats", f"{name}.pedal", "--count", "3", "--json"]) == 0
        found |= keys_of(json.loads(capsys.readouterr().out))
    assert found == documented_keys(ROOT, "pedalwright.repeats/1")


def test_files_are_whole(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["repeats", "lantern-echo.pedal", "--html", "out.html", "--markdown", "out.md"]) == 0
    page = Path("out.html").read_text(encoding="utf-8")
    assert page.count("<svg") == 6
    assert not re.search(r"(?:src|href)=\"(?!#)", page)
    assert "Dial of TIME" in Path("out.md").read_text(encoding="utf-8")
    assert capsys.readouterr().out == ""


def test_knobs_set_are_obeyed(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    delays = []
    for position in ("0", "10"):
        assert main(["repeats", "lantern-echo.pedal", "--set", f"TIME={position}", "--json"]) == 0
        delays.append(json.loads(capsys.readouterr().out)["chips"][0]["delay_s"])
    # 2.2 kohm and 52.2 kohm: 54 and 628 ms by the maker's table and the fitted law.
    assert delays == pytest.approx([0.0545, 0.628], rel=0.01)


def test_a_repeats_knob_that_was_not_recognised_is_still_found() -> None:
    """A knob as a plain series resistance in the way back: no divider, so no feedback path by its shape."""
    text = (
        circuits.text("lantern-echo")
        .replace("REPEATS.1 > gnd\n", "")
        .replace("REPEATS.2\n", "REPEATS.1\n", 1)
    )
    text = text.replace("ECHO > REPEATS.3", "ECHO > REPEATS.3\nREPEATS.2 > REPEATS.1")
    answers = echo_answers(Analysis(read_text(text), text), 3, 50)
    assert answers is not None
    assert [knob.knob for knob in answers.repeats_knobs] == ["REPEATS"]


def test_a_stopped_clock_is_refused_with_its_reason() -> None:
    text = circuits.text("lantern-echo").replace("TIME.2 > TIME.3 > gnd", "TIME.2 > TIME.3 > NOWHERE")
    answers = echo_answers(Analysis(read_text(text), text), 3, 50)
    assert answers is not None and not answers.is_sound
    assert answers.repeats == () and answers.loop is None
    assert repeats_data(answers)["chips"][0]["delay_s"] is None
