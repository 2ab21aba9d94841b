"""The verb `check`: what it prints, where it writes, how it ends, and how rules are explained."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

import pedalwright as pw
from pedalwright import circuits
from pedalwright.review.catalogue import FOLDERS, rules
from tests.report.pages import assert_sound
from tests.report.schemas import documented_keys, keys_of

from .running import run

ROOT = Path(__file__).resolve().parents[2]
# Half of 9 V stands across both capacitors, backwards: V R2/(R1+R2).
BACKWARDS = """pedal Backwards
supply V 9V wall
output OUT 1M
V > R1 10k > OUT > R2 10k > gnd   # a divider
gnd > C1 10u (electrolytic, 16V) > OUT
gnd > C2 10u (electrolytic, 16V) > OUT
"""
RIGHT = BACKWARDS.replace(
    "gnd > C1 10u (electrolytic, 16V) > OUT", "OUT > C1 10u (electrolytic, 16V) > gnd"
).replace("gnd > C2 10u (electrolytic, 16V) > OUT", "OUT > C2 10u (electrolytic, 16V) > gnd")


@pytest.fixture
def wrong(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "wrong.pedal"
    path.write_text(BACKWARDS, encoding="utf-8")
    return path


def lines(said: str) -> list[str]:
    return [line.strip() for line in said.splitlines()]


def test_a_finding_is_told_with_its_line_its_figure_and_its_cure(
    wrong: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, out, err = run(capsys, "check", wrong, "--only", "S01")
    assert (status, err) == (1, "")
    assert lines(out)[2] == "Do not switch it on yet: something will be damaged."
    assert "Will be damaged" in lines(out)
    assert "line 5    gnd > C1 10u (electrolytic, 16V) > OUT" in lines(out)
    assert any(line.startswith("measured  voltage across, backwards: 4.4") for line in lines(out))
    assert "cure      Turn it round: plus to OUT." in lines(out)
    assert lines(out)[-2] == "2 findings: 2 that will damage something; 1 rule asked."


def test_the_comment_of_a_line_is_not_quoted(wrong: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert "# a divider" not in run(capsys, "check", wrong)[1]


def test_a_right_circuit_ends_with_0(wrong: Path, capsys: pytest.CaptureFixture[str]) -> None:
    wrong.write_text(RIGHT, encoding="utf-8")
    status, out, _ = run(capsys, "check", wrong, "--only", "electrolytic-backwards")
    assert status == 0
    assert lines(out)[-2] == "No finding; 1 rule asked."


def test_what_is_accepted_is_told_with_its_reason_and_counts_no_more(
    wrong: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    accepts = (
        "accept S01 C1 because it is a drawing lesson\n"
        "accept electrolytic-backwards OUT C2 because of the same\n"
        "accept S01 C2 because I say it twice\n"
        "accept S01 R1 because it is not about this\n"
        "accept S999 because there is none\n"
    )
    wrong.write_text(BACKWARDS + accepts, encoding="utf-8")
    data = json.loads(run(capsys, "check", wrong, "--json")[1])
    assert [one["code"] for one in data["findings"] if one["code"] == "S01"] == []
    assert [one["reason"] for one in data["accepted"]] == ["it is a drawing lesson", "of the same"]
    assert [(one["line"], one["why"]) for one in data["idle"]] == [
        (9, "An earlier line accepts what the rule finds here."),
        (10, "The rule finds nothing to accept here."),
        (11, "There is no such rule."),
    ]
    out = run(capsys, "check", wrong)[1]
    assert "Accepted in line 7 because it is a drawing lesson" in lines(out)
    assert "- Line 11, accept S999: There is no such rule." in lines(out)


def test_the_json_has_the_keys_of_the_manual_and_no_others(
    wrong: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    accepts = "want gain > 0dB\naccept S01 C1 because I know\naccept S999 because there is none\n"
    wrong.write_text(BACKWARDS + accepts, encoding="utf-8")
    status, out, err = run(capsys, "check", wrong, "--json")
    data = json.loads(out)
    assert (status, err, data["schema"]) == (1, "", "pedalwright.check/1")
    assert data["counts"]["damage"] == sum(one["gravity"] == "damage" for one in data["findings"])
    documented = documented_keys(ROOT, "pedalwright.check/1")
    assert keys_of(data) <= documented
    # No rule that finds something here gives a value as its cure, and none is without figures.
    assert {
        key
        for key in documented - keys_of(data)
        if not any(part in key for part in ("changes[]", "not_judged[]", "ladder[]"))
    } == set()


def test_the_brief_is_told_whether_it_is_met_or_not(wrong: Path, capsys: pytest.CaptureFixture[str]) -> None:
    wants = "want current < 1mA\nwant current > 1mA\nwant delay < 1s\n"
    wrong.write_text(BACKWARDS + wants, encoding="utf-8")
    out = run(capsys, "check", wrong)[1]
    brief = out[out.index("The brief") :]
    assert "current < 1mA" in brief and "µA to spare" in brief
    assert "missed by" in brief and "no echo chip" in brief
    assert "The brief" not in run(capsys, "check", wrong, "--only", "S01")[1]
    data = json.loads(run(capsys, "check", wrong, "--json")[1])
    assert [one["met"] for one in data["wants"]] == [True, False, None]
    assert data["wants"][0]["value"] == pytest.approx(450e-6, rel=0.02) and data["wants"][0]["line"] == 7


def test_the_headroom_ladder_stands_on_pages_and_in_json(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A follower is cut where the source asks for all that it can swing."""
    monkeypatch.chdir(tmp_path)
    Path("lesson.pedal").write_text(circuits.text("lesson-voltage-follower"), encoding="utf-8")
    data = json.loads(run(capsys, "check", "lesson.pedal", "--json")[1])
    assert keys_of(data["ladder"], "ladder") <= documented_keys(ROOT, "pedalwright.check/1")
    (rung,) = [one for one in data["ladder"] if one["stage"] == "voltage-follower"]
    gain = rung["peaks_v"][1] / rung["source_peaks_v"][1]
    assert rung["source_peaks_v"] == [0.3, 1.0, 2.0]
    assert rung["clips_from_v"] == pytest.approx(rung["limit_v"] / gain)
    run(capsys, "check", "lesson.pedal", "--html", "page.html")
    assert "How loud at every stage" in Path("page.html").read_text(encoding="utf-8")
    assert "How loud at every stage" not in run(capsys, "check", "lesson.pedal")[1]


def test_a_page_and_a_text_hold_the_finding_the_reason_and_the_cautions(
    wrong: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, out, err = run(capsys, "check", wrong, "--html", "page.html", "--markdown", "page.md")
    assert (status, out, err) == (1, "", "")
    page = (tmp_path / "page.html").read_text(encoding="utf-8")
    assert_sound(page)
    written = (tmp_path / "page.md").read_text(encoding="utf-8")
    for text in (page, written):
        assert "S01 electrolytic-backwards, 2 of 2" in text.replace("\\", "")
        assert "oxide layer" in text and "Never open, mend or build a mains adaptor" in text


def test_a_result_is_never_written_over_the_circuit(wrong: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, _, err = run(capsys, "check", wrong, "--html", wrong)
    assert status == 2 and "is the name of a circuit's text" in err
    assert wrong.read_text(encoding="utf-8") == BACKWARDS


@pytest.mark.parametrize("word", ["supply", "S01", "s01", "electrolytic-backwards", "echo-chip"])
def test_rules_are_chosen_by_family_code_or_name(
    wrong: Path, capsys: pytest.CaptureFixture[str], word: str
) -> None:
    data = json.loads(run(capsys, "check", wrong, "--only", word, "--json")[1])
    assert {one["code"][0] for one in data["findings"]} == ({"S"} if word != "echo-chip" else set())
    assert 0 < data["rules_asked"] < len(rules())


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--only", "suply"], "There is no rule or family 'suply'; did you mean 'supply'?"),
        (["--only", "zzz"], "families are: supply, bias"),
        (["--json", "--html", "-"], "--json has the output to itself"),
        (["--set", "TIME"], "--set takes KNOB=POSITION"),
    ],
)
def test_what_cannot_be_asked_is_refused(
    wrong: Path, capsys: pytest.CaptureFixture[str], words: list[str], says: str
) -> None:
    status, out, err = run(capsys, "check", wrong, *words)
    assert (status, out) == (2, "") and says in err


def test_without_a_file_it_asks_for_one(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = run(capsys, "check")
    assert (status, out) == (2, "") and "Name its FILE" in err


def test_an_unusable_text_ends_with_2(wrong: Path, capsys: pytest.CaptureFixture[str]) -> None:
    wrong.write_text("IN > R1 4,7k > gnd\n", encoding="utf-8")
    status, _, err = run(capsys, "check", wrong)
    assert status == 2 and "value.decimal-comma" in err


def test_a_rule_is_explained_with_its_trials(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = run(capsys, "check", "--explain", "s01")
    assert (status, err) == (0, "")
    for said in (
        "gravity    will be damaged",
        "A circuit it speaks about",
        "cure      Turn it round: plus to OUT.",
    ):
        assert said in lines(out)
    assert "oxide layer" in out and "source" in out


def test_a_rule_is_explained_beside_a_circuit(wrong: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(capsys, "check", wrong, "--explain", "S01")
    assert status == 1
    assert lines(out).index("In Backwards") < lines(out).index(
        "line 6    gnd > C2 10u (electrolytic, 16V) > OUT"
    )


def test_every_rule_is_listed_and_every_page_is_made(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(capsys, "check", "--explain", "all")
    assert status == 0
    assert all(f"{rule.code} " in out and rule.name in out for rule in rules())
    data = json.loads(run(capsys, "check", "--explain", "all", "--json")[1])
    assert keys_of(data) == documented_keys(ROOT, "pedalwright.rules/1")
    assert [one["code"] for one in data["rules"]] == [rule.code for rule in rules()]
    assert {one["family"] for one in data["rules"]} <= {folder.replace("_", "-") for folder in FOLDERS}


def test_it_starts_without_what_is_heavy(tmp_path: Path) -> None:
    path = tmp_path / "lantern.pedal"
    path.write_text(circuits.text("lantern-echo"), encoding="utf-8")
    program = (
        "import sys; from pedalwright.cli.main import main; "
        f"main(['check', {str(path)!r}]); "
        "print(sorted({'scipy', 'matplotlib', 'numba', 'pedalwright.analysis.noise'} & set(sys.modules)))"
    )
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, check=True, encoding="utf-8")
    assert ran.stdout.splitlines()[-1] == "[]"


def test_from_python() -> None:
    told = pw.check(pw.read_text(BACKWARDS), only=("S01",))
    assert [one.finding.parts for one in told.found] == [("C1",), ("C2",)]
    assert pw.check(pw.read_text(RIGHT).circuit, only=("S01",)).is_clear
    with pytest.raises(ValueError, match="S999"):
        pw.check(pw.read_text(RIGHT), only=("S999",))
