"""The verb `new`: lists, copies, refuses, and never leaves half a file."""

import json
import os
from pathlib import Path

import pytest
from click.testing import CliRunner

from pedalwright import circuits
from pedalwright.cli import new
from pedalwright.cli.main import main
from pedalwright.notation import examine, read_file
from pedalwright.report.files import write_new, write_whole


def run(*arguments: str) -> tuple[int, str]:
    result = CliRunner().invoke(new.command, arguments)
    return result.exit_code, result.output


@pytest.fixture(autouse=True)
def _in_an_empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def test_alone_it_lists_every_circuit_under_its_kind() -> None:
    code, printed = run()
    assert code == 0
    for name in circuits.names():
        assert name in printed and circuits.title(name) in printed
    assert list(Path().iterdir()) == []


def test_the_list_as_data() -> None:
    code, printed = run("--json")
    data = json.loads(printed)
    assert code == 0 and data["schema"] == "pedalwright.new/1"
    assert {"name": "lantern-echo", "kind": "echo", "title": "Lantern Echo"} in data["circuits"]


@pytest.mark.parametrize("name", circuits.names())
def test_round_trip(name: str) -> None:
    assert main(["new", name, "mine.pedal"]) == 0
    assert Path("mine.pedal").read_text(encoding="utf-8") == circuits.text(name)
    assert read_file("mine.pedal").title == circuits.title(name)
    assert [path.name for path in Path().iterdir()] == ["mine.pedal"]


def test_a_kind_takes_its_first_circuit_and_its_own_name() -> None:
    code, printed = run("echo")
    assert code == 0 and "lantern-echo.pedal" in printed
    assert examine(Path("lantern-echo.pedal").read_text(encoding="utf-8")).remarks == ()


def test_a_file_that_exists_stays(capsys: pytest.CaptureFixture[str]) -> None:
    Path("mine.pedal").write_text("my own work", encoding="utf-8")
    assert main(["new", "echo", "mine.pedal"]) == 2
    assert "--overwrite" in capsys.readouterr().err
    assert Path("mine.pedal").read_text(encoding="utf-8") == "my own work"


def test_overwriting_must_be_asked_for() -> None:
    Path("mine.pedal").write_text("old", encoding="utf-8")
    assert main(["new", "fuzz", "mine.pedal", "--overwrite"]) == 0
    assert Path("mine.pedal").read_text(encoding="utf-8") == circuits.text("plumtree-fuzz")


def test_a_file_made_meanwhile_stays_too() -> None:
    """The look before writing may be too early; the link refuses at the last moment."""
    Path("mine.pedal").write_text("made meanwhile", encoding="utf-8")
    with pytest.raises(FileExistsError, match=r"mine\.pedal"):
        write_new(Path("mine.pedal"), "text")
    assert Path("mine.pedal").read_text(encoding="utf-8") == "made meanwhile"
    assert [path.name for path in Path().iterdir()] == ["mine.pedal"]


def test_where_no_links_can_be_made_it_still_works(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(1, "links are not known here")

    monkeypatch.setattr(Path, "hardlink_to", refuse)
    write_new(Path("a.pedal"), "text")
    assert Path("a.pedal").read_text(encoding="utf-8") == "text"
    with pytest.raises(FileExistsError):
        write_new(Path("a.pedal"), "other")
    assert Path("a.pedal").read_text(encoding="utf-8") == "text"


def test_a_failure_leaves_the_old_file_and_no_scrap(monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    Path("a.pedal").write_text("old", encoding="utf-8")
    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(OSError, match=r"a\.pedal"):
        write_whole(Path("a.pedal"), "text")
    assert [path.name for path in Path().iterdir()] == ["a.pedal"]
    assert Path("a.pedal").read_text(encoding="utf-8") == "old"


def test_a_folder_that_is_not_there(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", "echo", "nowhere/mine.pedal"]) == 2
    assert "nowhere/mine.pedal" in capsys.readouterr().err.replace(os.sep, "/")


@pytest.mark.parametrize(
    ("word", "hint"), [("fuz", "fuzz"), ("lantern-ecko", "lantern-echo"), ("xyzzy", "lists")]
)
def test_an_unknown_kind_is_answered(word: str, hint: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", word]) == 2
    assert hint in capsys.readouterr().err
    assert list(Path().iterdir()) == []
