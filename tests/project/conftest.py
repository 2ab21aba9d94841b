"""The tree itself as the thing under test."""

import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
NOT_OURS = {".git", ".venv", "build", "dist", "demo-output", "__pycache__"}


@pytest.fixture(scope="session")
def root() -> Path:
    return ROOT


@pytest.fixture(scope="session")
def tracked_files() -> tuple[Path, ...]:
    """Every file of the project; in a copy without its history, every file that is not made by running it."""
    listing = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=False)
    if listing.returncode == 0 and listing.stdout:
        files = [ROOT / name for name in listing.stdout.decode().split("\0") if name]
    else:
        files = [path for path in ROOT.rglob("*") if not NOT_OURS & set(path.relative_to(ROOT).parts)]
    return tuple(sorted(path for path in files if path.is_file()))
