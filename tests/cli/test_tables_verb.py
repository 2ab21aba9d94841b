"""The verb `tables`: out and in again is the same circuit; mistakes are located; nothing is lost."""

from pathlib import Path

import pytest

from pedalwright import circuits
from pedalwright.cli.main import main
from pedalwright.notation import read_file


@pytest.fixture
def echo(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    file = tmp_path / "echo.pedal"
    file.write_text(circuits.text("lantern-echo"), encoding="utf-8")
    return file


def test_out_and_in_again(echo: Path) -> None:
    assert main(["tables", str(echo), "--into", "lists"]) == 0
    assert main(["tables", "lists/echo.parts.csv", "lists/echo.connections.csv", "again.pedal"]) == 0
    before, after = read_file(echo), read_file("again.pedal")
    assert [(part.ref, part.kind, part.value) for part in before.parts] == [
        (part.ref, part.kind, part.value) for part in after.parts
    ]
    wired = [
        sorted(sorted((pin.part.ref, pin.pin) for pin in pins) for pins in circuit.pins_on.values())
        for circuit in (before, after)
    ]
    assert wired[0] == wired[1]


def test_a_text_that_is_there_stays(echo: Path) -> None:
    assert main(["tables", str(echo)]) == 0
    before = echo.read_text(encoding="utf-8")
    assert main(["tables", "echo.parts.csv", "echo.connections.csv", str(echo)]) == 2
    assert echo.read_text(encoding="utf-8") == before


def test_a_wrong_row_is_located(echo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["tables", str(echo)]) == 0
    table = Path("echo.parts.csv")
    table.write_text(
        table.read_text(encoding="utf-8").replace("R5,resistor,1M", "R5,resistor,1,5M"), encoding="utf-8"
    )
    assert main(["tables", "echo.parts.csv", "echo.connections.csv", "again.pedal"]) == 2
    assert "Parts table, row" in capsys.readouterr().err
    assert not Path("again.pedal").exists()


@pytest.mark.parametrize("files", [["a.csv", "b.csv"], ["a.csv", "b.csv", "c.txt"], ["missing.pedal"]])
def test_what_cannot_be_used_is_answered(
    echo: Path, files: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["tables", *files]) == 2
    assert capsys.readouterr().err.strip()
