"""The verb `draw`: what it writes, what it says, what it refuses."""

import json
from io import BytesIO
from pathlib import Path
from xml.etree import ElementTree

import pytest
from pypdf import PdfReader

from pedalwright import circuits
from tests.report.schemas import documented_keys, keys_of

from .running import run

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def lantern(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "lantern.pedal"
    path.write_text(circuits.text("lantern-echo"), encoding="utf-8")
    return path


def refs_in(svg: str) -> set[str]:
    root = ElementTree.fromstring(svg)
    return {item.get("data-ref", "") for item in root.iter() if item.get("data-ref")}


def test_the_schematic_goes_to_a_file_and_the_proof_is_told(
    lantern: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, out, err = run(capsys, "draw", lantern, "-o", "lantern.svg")
    assert (status, err) == (0, "")
    assert out.splitlines() == [
        "Lantern Echo: 62 symbols in lantern.svg.",
        "Proved: the nets read back from the drawn lines are those of the text (137 pins).",
    ]
    assert {"R5", "U1", "U2", "TIME"} <= refs_in(Path("lantern.svg").read_text(encoding="utf-8"))


def test_without_a_file_the_svg_is_the_output(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = run(capsys, "draw", lantern)
    assert (status, err) == (0, "")
    assert out.startswith("<svg ") and out.endswith("</svg>\n")
    run(capsys, "draw", lantern, "--out", "same.svg")
    assert Path("same.svg").read_text(encoding="utf-8") == out


def test_the_other_symbols_change_the_resistors_only_in_look(
    lantern: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _, iec, _ = run(capsys, "draw", lantern)
    _, american, _ = run(capsys, "draw", lantern, "--symbols", "american")
    assert iec != american and refs_in(iec) == refs_in(american)
    status, _, err = run(capsys, "draw", lantern, "--symbols", "martian")
    assert status == 2 and "martian" in err


@pytest.mark.parametrize("word", ["U1a", "R7", "non-inverting-amplifier", "Non-inverting amplifier", "u1a"])
def test_one_stage_by_name_kind_title_or_part(
    lantern: Path, capsys: pytest.CaptureFixture[str], word: str
) -> None:
    status, out, _ = run(capsys, "draw", lantern, "--stage", word)
    assert status == 0
    assert refs_in(out) == {"U1", "R7", "R8", "C9", "C10"}


def test_a_chip_finds_a_stage_with_one_of_its_sections(
    lantern: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for word in ("U1", "U2"):
        status, out, _ = run(capsys, "draw", lantern, "--stage", word)
        assert status == 0 and word in refs_in(out)


def test_a_stage_that_does_not_exist_is_refused_with_a_hint(
    lantern: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, out, err = run(capsys, "draw", lantern, "--stage", "regulatr")
    assert (status, out) == (2, "")
    assert "did you mean 'regulator'?" in err
    status, _, err = run(capsys, "draw", lantern, "--stage", "%%%%")
    assert status == 2 and "name one of its parts" in err


def test_every_key_of_the_json_is_in_the_manual(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(capsys, "draw", lantern, "--json")
    told = json.loads(out)
    assert status == 0 and told["schema"] == "pedalwright.drawing/1"
    assert keys_of(told) == documented_keys(ROOT, "pedalwright.drawing/1")
    assert told["proof"] == {"holds": True, "pins": 137, "nets": 38}
    assert told["stage"] is None and not told["safe_layout"] and told["plain_stages"] == []


def test_the_json_holds_the_places_of_pins_and_their_nets(
    lantern: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told = json.loads(run(capsys, "draw", lantern, "--json")[1])
    nets = {(part["part"], pin["pin"]): pin["net"] for part in told["parts"] for pin in part["pins"]}
    assert nets["R6", "2"] == "VB" and nets["U1", "a.out"] == "DRY" and nets["port/input", "net"] == "IN"
    places = [tuple(pin["at"]) for part in told["parts"] for pin in part["pins"]]
    assert all(isinstance(step, int) for at in places for step in at)


def test_json_and_a_file_at_once(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(capsys, "draw", lantern, "--json", "-o", "both.svg")
    assert status == 0 and json.loads(out)["title"] == "Lantern Echo"
    assert Path("both.svg").read_text(encoding="utf-8").startswith("<svg")


def test_a_moved_knob_does_not_move_the_drawing(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, as_written, _ = run(capsys, "draw", lantern)
    _, moved, _ = run(capsys, "draw", lantern, "--set", "LEVEL=2")
    assert as_written == moved
    assert run(capsys, "draw", lantern, "--set", "LEVL=2")[0] == 2


def test_the_text_is_never_written_over(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = lantern.read_bytes()
    status, _, err = run(capsys, "draw", lantern, "-o", lantern)
    assert status == 2 and "circuit's text" in err
    assert lantern.read_bytes() == before


def test_mistakes_are_told(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    lantern.write_text("IN > R1 4,7k > OUT\n", encoding="utf-8")
    status, out, err = run(capsys, "draw", lantern, "-o", "none.svg")
    assert (status, out) == (2, "") and "4,7k" in err and not Path("none.svg").exists()


def test_one_resistor_makes_a_sheet(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    lantern.write_text("pedal Next to nothing\nA > R1 1k > B\n", encoding="utf-8")
    status, out, _ = run(capsys, "draw", lantern)
    assert status == 0 and refs_in(out) == {"R1"}


def test_the_signal_map_instead(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(capsys, "draw", lantern, "--map")
    assert status == 0 and "Signal map: Lantern Echo" in out and "delay 338 ms" in out
    run(capsys, "draw", lantern, "--map", "-o", "map.svg")
    assert Path("map.svg").read_text(encoding="utf-8") == out
    for more in (["--json"], ["--stage", "U1a"]):
        status, _, err = run(capsys, "draw", lantern, "--map", *more)
        assert status == 2 and "--map is of the whole circuit" in err


def test_a_moved_knob_moves_the_map(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert "delay 338 ms" not in run(capsys, "draw", lantern, "--map", "--set", "TIME=0")[1]


@pytest.mark.parametrize("out, begins", [("lantern.pdf", b"%PDF"), ("lantern.PNG", b"\x89PNG")])
@pytest.mark.parametrize("more", [(), ("--map",)])
def test_paper_gets_the_same_drawing(
    lantern: Path, capsys: pytest.CaptureFixture[str], out: str, begins: bytes, more: tuple[str, ...]
) -> None:
    status, _, err = run(capsys, "draw", lantern, "-o", out, *more)
    assert (status, err) == (0, "")
    first = Path(out).read_bytes()
    assert first.startswith(begins)
    run(capsys, "draw", lantern, "-o", out, *more)
    assert Path(out).read_bytes() == first


def test_the_pdf_of_a_schematic_holds_its_names(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(capsys, "draw", lantern, "-o", "lantern.pdf")
    said = PdfReader(BytesIO(Path("lantern.pdf").read_bytes())).pages[0].extract_text()
    assert all(ref in said for ref in ("R5", "U1a", "TIME", "TL072"))
