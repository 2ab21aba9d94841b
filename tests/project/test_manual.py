"""README and manual say what is there: commands that exist, verbs that exist, pages that are not stale."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

from pedalwright.cli._verbs import verb_names


def code_in(text: str) -> str:
    """Everything set as code in a Markdown text."""
    return "\n".join(re.findall(r"```.*?```|`[^`\n]+`", text, re.DOTALL))


def made_in(code: str) -> set[str]:
    """What the `make` commands of some code make: those at the start of a line or of a code word."""
    return set(re.findall(r"(?:^|`)make ([a-z]+)", code, re.MULTILINE))


def make_targets(root: Path) -> set[str]:
    return set(re.findall(r"^([a-z]+):", (root / "Makefile").read_text(encoding="utf-8"), re.MULTILINE))


def readme(root: Path) -> str:
    return (root / "README.md").read_text(encoding="utf-8")


def test_every_make_command_of_the_texts_exists(root: Path) -> None:
    for name in ("README.md", "CONTRIBUTING.md", "docs/index.md"):
        code = code_in((root / name).read_text(encoding="utf-8"))
        assert made_in(code) <= make_targets(root), name
    assert {"demo", "test"} <= made_in(code_in(readme(root)))


def test_every_verb_the_readme_calls_exists(root: Path) -> None:
    called = set(re.findall(r"\bpedalwright ([a-z][a-z-]*)", code_in(readme(root))))
    assert called <= set(verb_names())


def test_the_guarding_machine_runs_the_test_command_of_the_readme(root: Path) -> None:
    script = (root / ".ci" / "run").read_text(encoding="utf-8")
    assert "set -eu" in script.splitlines()
    assert script.splitlines()[-1] == "exec make test"
    assert (root / ".ci" / "run").stat().st_mode & 0o111


def test_every_verb_is_in_the_manual(root: Path) -> None:
    page = (root / "docs" / "reference" / "verbs.md").read_text(encoding="utf-8")
    assert re.findall(r"^## (\S+)$", page, re.MULTILINE) == verb_names()


def test_the_reference_pages_are_as_the_program_says(root: Path) -> None:
    check = [sys.executable, str(root / "tools" / "write_reference.py"), "--check"]
    run = subprocess.run(check, capture_output=True, text=True, check=False, encoding="utf-8")
    assert (run.returncode, run.stdout, run.stderr) == (0, "", "")


@pytest.mark.parametrize(("word", "status"), [("--help", 0), ("-h", 0), ("--write-it", 2)])
def test_the_writer_of_the_reference_pages_tells_what_it_does(root: Path, word: str, status: int) -> None:
    ask = [sys.executable, str(root / "tools" / "write_reference.py"), word]
    run = subprocess.run(ask, capture_output=True, text=True, check=False, encoding="utf-8")
    assert (run.returncode, run.stderr) == (status, "")
    assert "--check" in run.stdout and "wrote" not in run.stdout


def test_every_page_of_the_manual_is_reached_from_its_first(root: Path) -> None:
    first = (root / "docs" / "index.md").read_text(encoding="utf-8")
    links = set(re.findall(r"\]\(([^)#:]+)", first))
    pages = {str(page.relative_to(root / "docs")) for page in (root / "docs").rglob("*.md")} - {"index.md"}
    assert pages <= links
    assert [link for link in sorted(links) if not (root / "docs" / link).exists()] == []
