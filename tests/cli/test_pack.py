"""The verb `pack`: what it writes, what it says, what it refuses."""

import json
from pathlib import Path

import pytest

from pedalwright import circuits
from pedalwright.report.pack import lint
from tests.report.schemas import documented_keys, keys_of

from .running import run

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def follower(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "gatepost.pedal"
    path.write_text(circuits.text("windowsill-tone"), encoding="utf-8")
    return path


def test_three_files_are_written_beside_the_text(follower: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = run(capsys, "pack", follower)
    assert (status, err) == (0, "")
    names = ["gatepost.pdf", "gatepost.html", "gatepost-parts.csv"]
    assert out.splitlines() == [f"Written: {Path('gatepost-pack') / name}" for name in names]
    pdf, html, table = (Path("gatepost-pack", name).read_bytes() for name in names)
    assert pdf.startswith(b"%PDF") and b"pdfuaid:part" in pdf
    assert html.startswith(b"<!DOCTYPE html>") and b"Windowsill Tone" in html
    assert table.decode().splitlines()[0].startswith("part,group,value,")


def test_the_folder_can_be_chosen_and_json_tells_where(
    follower: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, out, err = run(capsys, "pack", follower, "--into", "paper", "--json")
    data = json.loads(out)
    assert (status, err, data["schema"]) == (0, "", "pedalwright.pack/1")
    assert set(data["files"]) == {"pdf", "html", "csv"}
    assert all(Path(path).is_file() and Path(path).parent == Path("paper") for path in data["files"].values())
    assert data["disagreements"] == [] and "schematic" in data["sections"]
    assert keys_of(data) <= documented_keys(ROOT, "pedalwright.pack/1")


def test_what_has_changed_since_is_told(follower: Path, capsys: pytest.CaptureFixture[str]) -> None:
    old = Path("old.pedal")
    old.write_text(circuits.text("windowsill-tone").replace("R10 100k", "R10 220k"), encoding="utf-8")
    assert old.read_text(encoding="utf-8") != follower.read_text(encoding="utf-8")
    status, out, _ = run(capsys, "pack", follower, "--since", old, "--json")
    assert status == 0 and json.loads(out)["sections"][-1] == "changes"
    html = Path("gatepost-pack/gatepost.html").read_text(encoding="utf-8")
    told = html[html.index('id="changes"') :]
    assert "220 kΩ" in told and "R10" in told and "output impedance" in told


def test_nothing_has_changed_since_itself(follower: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(capsys, "pack", follower, "--since", follower)[0] == 0
    html = Path("gatepost-pack/gatepost.html").read_text(encoding="utf-8")
    assert "the two texts are the same" in html


def test_knobs_that_are_moved_are_named_on_every_page(
    follower: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(capsys, "pack", follower, "--set", "BASS=8")[0] == 0
    html = Path("gatepost-pack/gatepost.html").read_text(encoding="utf-8")
    assert "BASS=8" in html


def test_a_document_that_does_not_agree_is_not_written(
    follower: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(lint, "disagreements", lambda *given: ("'Parts list' leaves out R9.",))
    status, out, err = run(capsys, "pack", follower)
    assert (status, out) == (1, "") and "leaves out R9" in err
    assert not Path("gatepost-pack").exists()
    status, out, _ = run(capsys, "pack", follower, "--json")
    assert status == 1 and json.loads(out)["disagreements"] == ["'Parts list' leaves out R9."]


@pytest.mark.parametrize(
    "wish", [["--since", "missing.pedal"], ["--set", "NONE=3"], ["--into", "gatepost.pedal"]]
)
def test_what_cannot_be_done_is_refused_with_a_sentence(
    follower: Path, capsys: pytest.CaptureFixture[str], wish: list[str]
) -> None:
    status, out, err = run(capsys, "pack", follower, *wish)
    assert status == 2 and out == "" and len(err) > 20
    assert "Traceback" not in err
    assert follower.read_text(encoding="utf-8") == circuits.text("windowsill-tone")


def test_a_text_with_mistakes_is_told_in_full(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "bad.pedal"
    path.write_text("input IN pickup\nIN > R1 10q > gnd\nknob X 5\n", encoding="utf-8")
    status, _, err = run(capsys, "pack", path, "--into", tmp_path / "paper")
    assert status == 2 and "10q" in err
    assert not (tmp_path / "paper").exists()
