"""The verb `plot`: the same series in every form, and clear refusals."""

import csv
import json
from pathlib import Path

import pytest

from pedalwright import circuits
from pedalwright.report.plots_catalogue import plot_kinds
from tests.report.pages import assert_sound
from tests.report.plots.drawings import read_back
from tests.report.schemas import documented_keys, keys_of

from .running import run

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def lantern(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "lantern.pedal"
    path.write_text(circuits.text("lantern-echo"), encoding="utf-8")
    return path


def test_the_names_are_listed_and_stand_in_the_manual(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = run(capsys, "plot", "--names")
    assert (status, err) == (0, "")
    assert [line.split()[0] for line in out.splitlines()] == [kind.name for kind in plot_kinds()]
    page = (ROOT / "docs" / "plot.md").read_text(encoding="utf-8")
    assert f"$ pedalwright plot --names\n{out}```" in page
    assert all(f"| `{kind.name}` |" in page for kind in plot_kinds())


def test_on_the_output_in_letters(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = run(capsys, "plot", lantern, "impedances", "delay-dial")
    assert (status, err) == (0, "")
    assert (
        out.index("Delay of U2 over TIME")
        < out.index("Into the input at IN")
        < out.index("Out of the output")
    )
    assert out.count("+----") == 3 and "TIME, 0 to 10" in out and "500k |*" in out


def test_json_and_csv_hold_the_same_points(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = run(capsys, "plot", lantern, "response", "knobs", "--json", "--csv", "all.csv")
    assert (status, err) == (0, "")
    data = json.loads(out)
    assert keys_of(data) == documented_keys(ROOT, "pedalwright.plot/1")
    rows = list(csv.DictReader(Path("all.csv").read_text(encoding="utf-8").splitlines()))
    points = 0
    for kind in data["kinds"]:
        for plot in kind["plots"]:
            series = {line["name"]: line["values"] for line in plot["lines"]}
            for shade in plot["shades"]:
                series |= {f"{shade['name']}: low": shade["low"], f"{shade['name']}: high": shade["high"]}
            for name, values in series.items():
                mine = [row for row in rows if (row["plot"], row["series"]) == (plot["title"], name)]
                assert [float(row["at"]) for row in mine] == plot["at"]
                assert [float(row["value"]) if row["value"] else None for row in mine] == values
                points += len(values)
    assert points == len(rows)


def test_one_file_a_plot(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = run(
        capsys, "plot", lantern, "response", "impedances", "delay-dial", "--svg", "some/plots"
    )
    assert (status, out, err) == (0, "", "")
    files = sorted(Path("some/plots").iterdir())
    assert [file.name for file in files] == [
        "delay-dial-1.svg",
        "delay-dial-2.svg",
        "impedances-1.svg",
        "impedances-2.svg",
        "response.svg",
    ]
    for file in files:
        text = file.read_text(encoding="utf-8")
        assert read_back(text).all("desc") and "http://www.w3.org/2000/svg" in text


def test_as_a_page_and_on_paper(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    goals = ("--html", "a.html", "--pdf", "a.pdf")
    status, out, err = run(capsys, "plot", lantern, "response", "delay-dial", "noise", *goals)
    assert (status, out, err) == (0, "", "")
    page = assert_sound(Path("a.html").read_text(encoding="utf-8"))
    assert len(page.all("svg")) == 4
    assert "shaded: 5 to 95 % of 400 builds, seed 5" in Path("a.html").read_text(encoding="utf-8")
    assert Path("a.pdf").read_bytes().startswith(b"%PDF-")
    first = Path("a.pdf").read_bytes()
    run(capsys, "plot", lantern, "response", "delay-dial", "noise", "--pdf", "a.pdf")
    assert Path("a.pdf").read_bytes() == first


def test_knobs_may_be_moved_first(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    heard = []
    for turn in (2, 8):
        _, out, _ = run(capsys, "plot", lantern, "repeats", "--set", f"TIME={turn}", "--json")
        data = json.loads(out)
        assert data["settings"]["TIME"] == str(float(turn))
        heard.append(data["kinds"][0]["plots"][0]["at"][-1])
    assert heard[0] < heard[1]


@pytest.mark.parametrize(
    ("arguments", "hint"),
    [
        ((), "--names"),
        (("lantern.pedal", "respons"), "did you mean 'response'?"),
        (("lantern.pedal", "[red]"), "there are response, stages"),
        (("lantern.pedal", "noise", "--set", "TIME=11"), "TIME"),
        (("lantern.pedal", "noise", "--json", "--csv", "-"), "--json has the output to itself"),
        (("lantern.pedal", "noise", "--csv", "lantern.pedal"), "lantern.pedal"),
        (("lantern.pedal", "noise", "--svg", "lantern.pedal"), "lantern.pedal"),
        (("missing.pedal",), "missing.pedal"),
    ],
)
def test_questions_that_cannot_be_answered(
    lantern: Path, capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], hint: str
) -> None:
    before = lantern.read_bytes()
    status, out, err = run(capsys, "plot", *arguments)
    assert (status, out) == (2, "")
    assert hint in err and "Traceback" not in err
    assert lantern.read_bytes() == before


def test_what_is_not_certified_is_not_drawn(
    lantern: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from pedalwright.solve import certificate

    monkeypatch.setattr(certificate, "RESIDUAL_BOUND", -1.0)
    status, out, _ = run(capsys, "plot", lantern, "--json")
    data = json.loads(out)
    assert status == 1
    assert all(kind["refusal"] and not kind["plots"] for kind in data["kinds"])
    assert "response" in [kind["name"] for kind in data["kinds"]]
