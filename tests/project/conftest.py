"""The tree itself as the thing under test."""

import shutil
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
NOT_OURS = {".git", ".venv", "build", "dist", "demo-output", "__pycache__", ".hypothesis"}
NOT_OURS_ENDINGS = ("_cache", ".egg-info")


@pytest.fixture(scope="session")
def root() -> Path:
    return ROOT


@pytest.fixture(scope="session")
def tracked_files() -> tuple[Path, ...]:
    """Every file of the project; in a copy without its history, every file that is not made by running it."""
    files = listed_by_git() or [path for path in ROOT.rglob("*") if is_ours(path.relative_to(ROOT))]
    return tuple(sorted(path for path in files if path.is_file()))


def listed_by_git() -> list[Path]:
    """Empty where there is no git, or no history it is willing to read."""
    git = shutil.which("git")
    if git is None:
        return []
    listing = subprocess.run([git, "ls-files", "-z"], cwd=ROOT, capture_output=True, check=False)
    return [ROOT / name for name in listing.stdout.decode().split("\0") if name]


def is_ours(path: Path) -> bool:
    return not any(part in NOT_OURS or part.endswith(NOT_OURS_ENDINGS) for part in path.parts)
