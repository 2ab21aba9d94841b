"""The verb `walk`: what goes where, the exit status, and the answers to wrong calls."""

import json
from pathlib import Path

import pytest

from pedalwright import circuits
from tests.report.pages import assert_sound

from .running import run

FILTER = """pedal Little <Filter> [red]
about First | second.
input IN line
output OUT 1M
knob TONE 10k linear at 5
switch MODE soft bright at soft
IN > R1 10k > OUT > C1 10n > gnd
OUT > TONE.3
TONE.2 > TONE.1 > gnd
OUT > MODE.common
MODE.bright > C2 1n > gnd
"""


@pytest.fixture
def circuit(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "filter.pedal"
    path.write_text(FILTER, encoding="utf-8")
    return path


def test_on_the_output_as_plain_text(circuit: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = run(capsys, "walk", circuit)
    assert status in (0, 1) and err == ""
    assert out.startswith("Little <Filter> [red]\n")
    assert "R1" in out and "10 kΩ" in out and "\x1b" not in out


def test_settings_are_taken_and_told(circuit: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, "walk", circuit, "--set", "TONE=2.5", "--set", "MODE = bright", "--json")
    assert json.loads(out)["settings"] == {"TONE": "2.5", "MODE": "bright"}


def test_a_page_markdown_and_json_at_once(circuit: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(capsys, "walk", circuit, "--html", "a.html", "--markdown", "a.md", "--json")
    assert status in (0, 1)
    assert json.loads(out)["title"] == "Little <Filter> [red]"
    page = assert_sound(Path("a.html").read_text(encoding="utf-8"))
    assert page.all("h1")[0].text == "Little <Filter> [red]"
    assert Path("a.md").read_text(encoding="utf-8").startswith("# Little \\<Filter\\> \\[red\\]\n")


def test_two_runs_write_the_same_bytes(circuit: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for name in ("one", "two"):
        run(capsys, "walk", circuit, "--html", f"{name}.html", "--markdown", f"{name}.md")
    assert Path("one.html").read_bytes() == Path("two.html").read_bytes()
    assert Path("one.md").read_bytes() == Path("two.md").read_bytes()
    first, second = (run(capsys, "walk", circuit, "--json") for _ in range(2))
    assert first == second


def test_markdown_without_a_name_goes_to_the_output(
    circuit: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _, out, _ = run(capsys, "walk", circuit, "--markdown")
    assert out.startswith("# Little")
    assert sorted(path.name for path in Path().iterdir()) == ["filter.pedal"]


@pytest.mark.parametrize("wanted", ["R1", "C1"])
def test_one_stage_by_one_of_its_parts(
    circuit: Path, capsys: pytest.CaptureFixture[str], wanted: str
) -> None:
    status, out, _ = run(capsys, "walk", circuit, "--stage", wanted)
    assert status in (0, 1)
    assert wanted in out and "Mains" not in out and "At a glance" not in out


def test_a_stage_that_is_not_there_is_answered_with_those_that_are(
    circuit: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, out, err = run(capsys, "walk", circuit, "--stage", "R99")
    assert (status, out) == (2, "")
    assert "'R99'" in err and "low-pass" in err


@pytest.mark.parametrize(
    ("wish", "hint"),
    [
        ("TONE", "such as TIME=5"),
        ("=5", "such as TIME=5"),
        ("TON=5", "did you mean TONE?"),
        ("R1=5", "R1 is a resistor"),
        ("TONE=11", "from 0 to 10"),
        ("TONE=nan", "from 0 to 10"),
        ("TONE=2,5", "point, not a comma"),
        ("MODE=loud", "it has soft, bright"),
        ("[red]=[/]", "[red]"),
    ],
)
def test_a_wish_that_cannot_be_met(
    circuit: Path, capsys: pytest.CaptureFixture[str], wish: str, hint: str
) -> None:
    status, out, err = run(capsys, "walk", circuit, "--set", wish)
    assert (status, out) == (2, "")
    assert hint in err and "Traceback" not in err


def test_every_wrong_wish_is_told_at_once(circuit: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, _, err = run(capsys, "walk", circuit, "--set", "TONE=11", "--set", "NOPE=1")
    assert "TONE cannot stand at '11'" in err and "'NOPE'" in err


WRONG = "IN > R1 4,7k > gnd\nsuply VIN 9V wall\nIN > C1 10q > gnd\n"


def test_every_mistake_with_its_place(circuit: Path, capsys: pytest.CaptureFixture[str]) -> None:
    circuit.write_text(WRONG, encoding="utf-8")
    status, out, err = run(capsys, "walk", circuit, "--html", "a.html")
    assert (status, out) == (2, "")
    assert [line in err for line in ("line 1, column", "line 2, column 1", "line 3, column")] == [True] * 3
    assert "    suply VIN 9V wall\n    ^^^^^" in err
    assert not Path("a.html").exists()


def test_mistakes_as_json(circuit: Path, capsys: pytest.CaptureFixture[str]) -> None:
    circuit.write_text(WRONG, encoding="utf-8")
    status, out, err = run(capsys, "walk", circuit, "--json")
    data = json.loads(out)
    assert (status, err, data["schema"]) == (2, "", "pedalwright.mistakes/1")
    assert [remark["line"] for remark in data["remarks"]] == [1, 2, 3]
    assert all(remark["cure"] and remark["what"] and remark["code"] for remark in data["remarks"])


@pytest.mark.parametrize("name", ["missing.pedal", ".", "bytes.pedal"])
def test_a_file_that_cannot_be_read(circuit: Path, capsys: pytest.CaptureFixture[str], name: str) -> None:
    Path("bytes.pedal").write_bytes(b"\xff\xfe\x00")
    status, out, err = run(capsys, "walk", name)
    assert (status, out) == (2, "")
    assert name in err and "Traceback" not in err


@pytest.mark.parametrize("goal", ["filter.pedal", "other.pedal", "./filter.pedal", "link.html"])
def test_a_circuit_is_never_written_over(
    circuit: Path, capsys: pytest.CaptureFixture[str], goal: str
) -> None:
    Path("link.html").symlink_to(circuit)
    for option in ("--html", "--markdown"):
        status, _, err = run(capsys, "walk", circuit, option, goal)
        assert status == 2 and err
    assert circuit.read_text(encoding="utf-8") == FILTER
    assert not Path("other.pedal").exists()


@pytest.mark.parametrize("goal", ["no/such/folder/a.html", "."])
def test_where_nothing_can_be_written(circuit: Path, capsys: pytest.CaptureFixture[str], goal: str) -> None:
    status, _, err = run(capsys, "walk", circuit, "--html", goal)
    assert status == 2
    assert err.startswith("pedalwright: cannot use") and "Traceback" not in err


def test_json_and_a_page_cannot_share_the_output(circuit: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = run(capsys, "walk", circuit, "--json", "--html", "-")
    assert (status, out) == (2, "") and "--json" in err


def test_nothing_in_a_circuit_that_stands_still(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    empty = tmp_path / "a.pedal"
    empty.write_text("IN > R1 10k > gnd\n", encoding="utf-8")
    status, out, err = run(capsys, "walk", empty)
    assert status in (0, 1) and err == ""
    assert "no input" in out


def test_status_one_when_a_stage_is_not_confirmed(
    circuit: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from tests.report import made_by_hand

    monkeypatch.setattr("pedalwright.analysis.walk.walk", lambda analysis: made_by_hand.doubtful())
    assert run(capsys, "walk", circuit)[0] == 1
    monkeypatch.setattr("pedalwright.analysis.walk.walk", lambda analysis: made_by_hand.uncertified())
    assert run(capsys, "walk", circuit)[0] == 1
    monkeypatch.setattr("pedalwright.analysis.walk.walk", lambda analysis: made_by_hand.WALK)
    assert run(capsys, "walk", circuit)[0] == 0


@pytest.mark.slow
@pytest.mark.parametrize("name", circuits.names())
def test_every_built_in_circuit(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / f"{name}.pedal"
    path.write_text(circuits.text(name), encoding="utf-8")
    status, out, err = run(capsys, "walk", path, "--json", "--html", tmp_path / "a.html")
    data = json.loads(out)
    assert (status, err) == (0, ""), [s["name"] for s in data["stages"] if not s["proof"]["confirmed"]]
    assert data["title"] == circuits.title(name)
    told = {part["ref"]: (part["kind"], part["role"]) for part in data["parts"]}
    # The golden roles beside the circuit were written by hand; a hyphen there means: no stage.
    assert told == {
        ref: (None if kind == "-" else kind, role) for ref, (kind, role) in circuits.roles(name).items()
    }
    assert_sound((tmp_path / "a.html").read_text(encoding="utf-8"))
