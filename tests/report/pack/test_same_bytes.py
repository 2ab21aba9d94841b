"""The same text gives the same bytes: twice here, and in processes that hash differently."""

import hashlib
import os
import subprocess
import sys
from pathlib import Path

import pytest

from pedalwright import circuits
from pedalwright.report.html_page import html_page
from pedalwright.report.pack.assembling import build_document, html_document

from .packs import built, dossier_of_text, pdf_of, printed

NAME = "plumtree-fuzz"


def test_made_twice_it_is_the_same() -> None:
    again = build_document(dossier_of_text(circuits.text(NAME)))
    assert printed(again) == pdf_of(NAME)
    assert html_page(html_document(again)) == html_page(html_document(built(NAME)))


def written(folder: Path, seed: str) -> dict[str, str]:
    """Fingerprints of the files that a process of its own writes."""
    file = folder / "fuzz.pedal"
    file.parent.mkdir(parents=True)
    file.write_text(circuits.text(NAME), encoding="utf-8")
    command = [sys.executable, "-m", "pedalwright", "pack", str(file), "--into", str(folder / "made")]
    environment = {**os.environ, "PYTHONHASHSEED": seed, "OPENBLAS_NUM_THREADS": "1"}
    subprocess.run(command, check=True, capture_output=True, env=environment)
    made = sorted((folder / "made").iterdir())
    return {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in made}


@pytest.mark.slow
def test_processes_that_hash_differently_write_the_same_bytes(tmp_path: Path) -> None:
    first, second = written(tmp_path / "one", "1"), written(tmp_path / "two", "271828")
    assert first == second and len(first) == 3
