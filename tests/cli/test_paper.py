"""Every verb that writes a page writes the same for paper."""

from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from pedalwright import circuits

from .running import run

VERBS = {
    "walk": "Non-inverting amplifier",
    "check": "Before you build or repair",
    "voltages": "U2.14",
    "power": "centre negative",
    "noise": "conversion noise",
    "repeats": "338 ms",
    "knobs": "REPEATS",
}
"""verb -> words its paper holds"""


@pytest.fixture
def lantern(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "lantern.pedal"
    path.write_text(circuits.text("lantern-echo"), encoding="utf-8")
    return path


@pytest.mark.slow
@pytest.mark.parametrize("verb", VERBS)
def test_a_verb_prints_on_paper(verb: str, lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = run(capsys, verb, lantern, "--pdf", "paper.pdf")
    assert (status, out, err) == (0, "", "")
    pages = [page.extract_text() for page in PdfReader(BytesIO(Path("paper.pdf").read_bytes())).pages]
    assert VERBS[verb] in " ".join(" ".join(pages).split())
    assert all("Text SHA-256" in page for page in pages)


@pytest.mark.parametrize("verb", VERBS)
def test_json_has_the_output_to_itself(verb: str, lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = run(capsys, verb, lantern, "--json", "--pdf", "-")
    assert status == 2 and out == "" and "--json" in err
    assert lantern.exists()
