"""What must not stand in any file of the project, and how long a file may get."""

import re
from pathlib import Path

import pytest

LONGEST_MODULE = 300

# Written in pieces: this file is searched as well.
REGISTRIES = "|".join(
    ["pypi" + r"\.org", "python" + "hosted", r"registry\." + "npmjs", r"deb\." + "debian", "/simple" + "/"]
)
MACHINE_PATHS = r"(?<![\w.~/$)}-])/(home|root|opt|work|farm|tmp|Users|mnt|srv)/\w"
ECHO_CHIP_NUMBER = r"pt ?" + "2399"


def lines_with(pattern: str, files: tuple[Path, ...], root: Path) -> list[str]:
    wanted = re.compile(pattern, re.IGNORECASE)
    return [
        f"{path.relative_to(root)}:{at}: {line.strip()}"
        for path in files
        for at, line in enumerate(path.read_text(encoding="utf-8", errors="replace").splitlines(), start=1)
        if wanted.search(line)
    ]


@pytest.mark.parametrize("pattern", [REGISTRIES, MACHINE_PATHS, ECHO_CHIP_NUMBER])
def test_nothing_in_the_files_that_must_not_be_there(
    pattern: str, tracked_files: tuple[Path, ...], root: Path
) -> None:
    assert lines_with(pattern, tracked_files, root) == []


@pytest.mark.parametrize(
    ("pattern", "line"),
    [
        (REGISTRIES, "--index-url https://" + "pypi" + ".org/" + "simple"),
        (MACHINE_PATHS, "--find-links " + "/opt" + "/wheels"),
        (MACHINE_PATHS, 'open("' + "/home" + '/someone/x.pedal")'),
        (ECHO_CHIP_NUMBER, "PT" + "2399"),
    ],
)
def test_the_search_finds_what_it_is_for(pattern: str, line: str, tmp_path: Path) -> None:
    sample = tmp_path / "sample.txt"
    sample.write_text(f"first\n{line}\n", encoding="utf-8")
    assert lines_with(pattern, (sample,), tmp_path) == [f"sample.txt:2: {line}"]


def test_no_module_is_longer_than_one_wants_to_read(tracked_files: tuple[Path, ...], root: Path) -> None:
    lengths = {
        str(path.relative_to(root)): len(path.read_text(encoding="utf-8").splitlines())
        for path in tracked_files
        if path.suffix == ".py"
    }
    assert lengths
    assert {name: lines for name, lines in lengths.items() if lines > LONGEST_MODULE} == {}
