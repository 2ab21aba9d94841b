"""Whatever goes wrong, the way in answers with one sentence and status 2, never a traceback."""

import io
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from pedalwright import cli
from pedalwright.cli.main import main

AddVerb = Callable[[str, str], None]


@pytest.fixture
def add_verb(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[AddVerb]:
    """Put a verb beside the real ones, as a file: `add_verb("stumble", "raise OSError")`."""
    monkeypatch.setattr(cli, "__path__", [*cli.__path__, str(tmp_path)])
    added = []

    def add(name: str, body: str) -> None:
        added.append(f"pedalwright.cli.{name}")
        head = "import os, sys, click\n@click.command()\ndef command():\n"
        (tmp_path / f"{name}.py").write_text(f'{head}    """Do {name}."""\n    {body}\n', encoding="utf-8")

    yield add
    for module in added:
        sys.modules.pop(module, None)


def python(*arguments: str, **options: object) -> "subprocess.CompletedProcess[str]":
    command = [sys.executable, "-m", "pedalwright", *arguments]
    return subprocess.run(command, encoding="utf-8", check=False, **options)  # type: ignore[call-overload,no-any-return]


def test_a_file_in_the_folder_is_a_verb(add_verb: AddVerb, capsys: pytest.CaptureFixture[str]) -> None:
    add_verb("hum", 'click.echo("hmm")')
    assert main(["hum"]) == 0
    assert capsys.readouterr().out == "hmm\n"
    assert main(["--help"]) == 0
    assert "hum  " in capsys.readouterr().out


def test_a_file_without_a_command_is_no_verb(
    tmp_path: Path, add_verb: AddVerb, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "tools_of_verbs.py").write_text("", encoding="utf-8")
    assert main(["--help"]) == 0
    assert "tools-of-verbs" not in capsys.readouterr().out
    assert main(["tools-of-verbs"]) == 2


def test_a_verb_named_like_a_python_word(add_verb: AddVerb, capsys: pytest.CaptureFixture[str]) -> None:
    add_verb("import_", 'click.echo("taken in")')
    assert main(["import"]) == 0
    assert capsys.readouterr().out == "taken in\n"


def test_nothing_asked_for_is_answered_with_the_help(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([]) == 0
    assert capsys.readouterr().out.startswith("Usage: pedalwright")


@pytest.mark.parametrize(
    ("body", "status"), [("pass", 0), ("return 1", 1), ("sys.exit(1)", 1), ("sys.exit()", 0)]
)
def test_a_verb_says_its_status(body: str, status: int, add_verb: AddVerb) -> None:
    add_verb("hum", body)
    assert main(["hum"]) == status


@pytest.mark.parametrize(
    ("body", "sentence"),
    [
        ("raise KeyboardInterrupt", "stopped before it was done"),
        ("raise click.Abort", "stopped before it was done"),
        ("open(os.path.join('no', 'such', 'x.svg'), 'w')", "x.svg: No such file or directory"),
        ("raise click.ClickException('the knob is missing.')", "the knob is missing."),
        ("raise OSError('odd')", "reading or writing failed: odd"),
        ("[].pop()", "a fault in Pedalwright, not in your circuit (IndexError: pop from empty list)"),
        ("command.nothing", "a fault in Pedalwright"),
        ("return 'text'", "a fault in Pedalwright"),
        ("def deep(): deep()\n    deep()", "RecursionError"),
    ],
)
def test_trouble_is_one_sentence(
    body: str, sentence: str, add_verb: AddVerb, capsys: pytest.CaptureFixture[str]
) -> None:
    add_verb("stumble", body)
    assert main(["stumble"]) == 2
    said = capsys.readouterr().err.strip()
    assert said.startswith("pedalwright: ")
    assert sentence in said
    assert "\n" not in said.removeprefix("pedalwright: stopped")


def test_the_place_of_a_fault_can_be_asked_for(add_verb: AddVerb, monkeypatch: pytest.MonkeyPatch) -> None:
    add_verb("stumble", "[].pop()")
    monkeypatch.setenv("PEDALWRIGHT_TRACEBACK", "1")
    with pytest.raises(IndexError):
        main(["stumble"])


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["humm"], "there is no verb 'humm'; did you mean 'hum'?"),
        (["xyzzy"], "there is no verb 'xyzzy'."),
        (["--loud"], "--loud"),
        (["hum", "--loud"], "See `pedalwright hum --help`."),
        (["hum", "extra"], "extra"),
        (["../cli/hum"], "there is no verb '../cli/hum'"),
        (["main"], "there is no verb 'main'"),
        ([""], "there is no verb ''"),
    ],
)
def test_a_call_that_cannot_be_understood(
    arguments: list[str], sentence: str, add_verb: AddVerb, capsys: pytest.CaptureFixture[str]
) -> None:
    add_verb("hum", "pass")
    assert main(arguments) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert sentence in said.err
    assert said.err.count("\n") == 1


def test_signs_the_terminal_lacks_are_spelt_out(add_verb: AddVerb, monkeypatch: pytest.MonkeyPatch) -> None:
    add_verb("measure", "print('4k7 Ω ±5 %, 10 µF, −3 dB, ☃')")
    paper = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(paper, encoding="ascii"))
    assert main(["measure"]) == 0
    assert paper.getvalue().decode("ascii").rstrip() == "4k7 ohm +-5 %, 10 uF, -3 dB, ?"


@pytest.mark.parametrize("printing", ["from click import echo as say", "from rich import print as say"])
def test_a_reader_that_goes_away_early_is_no_trouble(printing: str) -> None:
    """In a process of its own, through a pipe whose other end is closed."""
    program = "\n".join(
        [
            "import sys, click",
            "from pedalwright.cli.main import main, pedalwright",
            "def talk():",
            f"    {printing}",
            "    while True: say('and on')",
            "pedalwright.get_command = lambda context, name: click.Command('talk', callback=talk)",
            "sys.exit(main(['talk']))",
        ]
    )
    reader, writer = os.pipe()
    os.close(reader)
    with os.fdopen(writer, "wb") as pipe:
        command = [sys.executable, "-c", program]
        run = subprocess.run(command, stdout=pipe, stderr=subprocess.PIPE, check=False)
    assert (run.returncode, run.stderr) == (0, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no device that is always full")
def test_a_full_disk_is_one_sentence() -> None:
    with Path("/dev/full").open("w") as full:
        run = python("--help", stdout=full, stderr=subprocess.PIPE)
    assert run.returncode == 2
    assert run.stderr == "pedalwright: reading or writing failed: No space left on device.\n"


def test_the_module_is_the_command(root: Path) -> None:
    run = python("--version", capture_output=True)
    assert (run.returncode, run.stderr) == (0, "")
    assert run.stdout.startswith("pedalwright ")


def test_no_verb_name_is_imported_before_it_is_called(add_verb: AddVerb) -> None:
    add_verb("hum", "pass")
    add_verb("other", "pass")
    assert main(["hum"]) == 0
    assert "pedalwright.cli.other" not in sys.modules
