"""The pinned lists: complete, hashed, and in step with one another and with the project's own statement."""

import re
import tomllib
from pathlib import Path

import pytest

LISTS = ("run", "develop", "compile")
PIN = re.compile(r"^([A-Za-z0-9._-]+)==(\S+) \\$", re.MULTILINE)


def pins(root: Path, name: str) -> dict[str, str]:
    text = (root / "requirements" / f"{name}.txt").read_text(encoding="utf-8")
    return {found[1]: found[2] for found in PIN.finditer(text)}


def named(root: Path, name: str) -> set[str]:
    lines = (root / "requirements" / f"{name}.in").read_text(encoding="utf-8").splitlines()
    return {re.split(r"[<>=~!; ]", line)[0] for line in lines if re.match(r"[a-z]", line)}


@pytest.mark.parametrize("name", LISTS)
def test_every_line_is_a_pin_a_hash_or_a_comment(name: str, root: Path) -> None:
    text = (root / "requirements" / f"{name}.txt").read_text(encoding="utf-8")
    form = re.compile(r"|".join([PIN.pattern, r"^    --hash=sha256:[0-9a-f]{64}( \\)?$", r"^ *#.*$", r"^$"]))
    assert [line for line in text.splitlines() if not form.match(line)] == []
    for block in re.split(r"^(?=[a-z])", text, flags=re.MULTILINE)[1:]:
        assert "--hash=sha256:" in block, block


@pytest.mark.parametrize("name", LISTS)
def test_everything_named_is_pinned(name: str, root: Path) -> None:
    assert named(root, name) - set(pins(root, name)) == set()


def test_developing_uses_the_very_versions_that_running_uses(root: Path) -> None:
    run, develop = pins(root, "run"), pins(root, "develop")
    assert run.items() <= develop.items()


def test_the_project_states_what_the_list_pins(root: Path) -> None:
    project = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    stated = {re.split(r"[<>=~!; ]", need)[0] for need in project["dependencies"]}
    assert stated == named(root, "run") - {"setuptools", "colorama"}


def test_libraries_in_machine_code_have_a_wheel_for_more_than_one_machine(root: Path) -> None:
    """One hash would be the sign of a list compiled against a local folder of wheels."""
    text = (root / "requirements" / "run.txt").read_text(encoding="utf-8")
    for name in ("numpy", "scipy", "matplotlib", "contourpy", "kiwisolver", "pillow", "typst"):
        block = re.search(rf"^{name}==(?:.*\n)(?:    .*\n)+", text, re.MULTILINE)
        assert block is not None
        assert block[0].count("--hash=") > 10, name
