"""The examples of the hand-written pages: circuits are read, commands are run."""

import re
import shlex
from pathlib import Path

import pytest

from pedalwright import circuits
from pedalwright.cli.main import main
from pedalwright.notation import examine

DOCS = Path(__file__).resolve().parents[2] / "docs"
PAGES = (
    "getting-started.md",
    "notation.md",
    "walk.md",
    "response.md",
    "plot.md",
    "repeats.md",
    "check.md",
    "pack.md",
    "noise.md",
)


def blocks(page: str, kind: str) -> list[str]:
    """The fenced blocks of one kind on a page."""
    return re.findall(
        rf"^```{kind}\n(.*?)^```", (DOCS / page).read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL
    )


CIRCUITS = [(page, text) for page in PAGES for text in blocks(page, "pedal")]
COMMANDS = {page: "".join(blocks(page, "sh")).splitlines() for page in PAGES}


@pytest.mark.parametrize(("page", "text"), CIRCUITS, ids=[page for page, _ in CIRCUITS])
def test_every_circuit_on_a_page_is_usable_and_without_a_remark(page: str, text: str) -> None:
    reading = examine(text)
    assert reading.circuit is not None
    assert [remark.what for remark in reading.remarks] == []


@pytest.mark.parametrize("page", [page for page in PAGES if COMMANDS[page]])
def test_every_command_on_a_page_runs(
    page: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("lantern.pedal").write_text(circuits.text("lantern-echo"), encoding="utf-8")
    for text in blocks(page, "pedal")[:1]:
        Path("first.pedal").write_text(text, encoding="utf-8")
    for line in COMMANDS[page]:
        program, *arguments = shlex.split(line)
        assert program == "pedalwright"
        assert main(arguments) == 0, line
        assert capsys.readouterr().err == ""


def test_the_pages_have_examples() -> None:
    assert len(CIRCUITS) >= 3
    assert sum(map(len, COMMANDS.values())) >= 15
