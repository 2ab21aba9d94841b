"""The verb `power`: media, settings, exit status, refusals; and its page of the manual."""

import json
import re
import shlex
from pathlib import Path

import pytest

from pedalwright import circuits, read_text
from tests.report.pages import assert_sound

from .running import run

ROOT = Path(__file__).resolve().parents[2]
PAGE = (ROOT / "docs" / "power.md").read_text(encoding="utf-8")


@pytest.fixture
def lantern(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "lantern.pedal"
    path.write_text(circuits.text("lantern-echo"), encoding="utf-8")
    return path


def test_it_tells_label_battery_heat_and_abuse(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, said, wrong = run(capsys, "power", lantern)
    assert (status, wrong) == (0, "")
    for words in (
        "9 V DC, centre negative, at least 100 mA",
        "On a battery",
        "At switch-on",
        "What gets warm",
        "With a wrong supply",
        "U3 no longer holds 5 V",
        "D1 blocks",
        "Before you connect a supply",
    ):
        assert words in said, words  # fmt: skip


def test_json_is_json_and_nothing_else(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, said, _ = run(capsys, "power", lantern, "--json", "--set", "TIME=0")
    data = json.loads(said)
    assert status == 0 and data["schema"] == "pedalwright.power/1"
    assert data["settings"]["TIME"] in ("0", "0.0")
    assert data["battery"]["first"]["ref"] == "U3"


def test_the_knobs_count(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    def heat_of(*arguments: str) -> dict[str, float]:
        data = json.loads(run(capsys, "power", lantern, "--json", *arguments)[1])
        return {one["ref"]: one["watts"]["typical"] for one in data["heat"]}

    # Half of 5 V behind 2.59 kohm into 2.2 kohm alone, or with 50 kohm of TIME: P = I^2 R.
    fast, slow = heat_of("--set", "TIME=0")["R12"], heat_of("--set", "TIME=10")["R12"]
    assert fast == pytest.approx((2.5 / (2591.6 + 2200)) ** 2 * 2200, rel=5e-3)
    assert slow == pytest.approx((2.5 / (2591.6 + 2200 + 50e3)) ** 2 * 2200, rel=5e-3)


def test_pages_are_written_whole(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, said, _ = run(capsys, "power", lantern, "--html", "power.html", "--markdown", "power.md")
    assert status == 0 and said == ""
    assert_sound(Path("power.html").read_text(encoding="utf-8"))
    assert Path("power.md").read_text(encoding="utf-8").startswith("# Lantern Echo: power")
    status, said, _ = run(capsys, "power", lantern, "--markdown")
    assert status == 0 and said.startswith("# Lantern Echo: power")


def test_what_cannot_be_is_refused_in_one_sentence(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for arguments in (("--json", "--markdown"), ("--set", "NOTHING=5"), ("--html", "lantern.pedal")):
        status, _, wrong = run(capsys, "power", lantern, *arguments)
        assert status == 2 and wrong and "Traceback" not in wrong
    assert lantern.read_text(encoding="utf-8") == circuits.text("lantern-echo")
    assert run(capsys, "power", "missing.pedal")[0] == 2


def test_a_circuit_without_a_supply_is_no_mistake(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "tone.pedal"
    path.write_text(circuits.text("three-shelves-tone"), encoding="utf-8")
    status, said, _ = run(capsys, "power", path)
    assert status == 0 and "names no supply" in said


def blocks(kind: str) -> list[str]:
    return re.findall(rf"^```{kind}\n(.*?)^```", PAGE, re.MULTILINE | re.DOTALL)


def test_every_command_of_its_page_runs(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    lines = "".join(blocks("sh")).splitlines()
    assert len(lines) >= 4
    for line in lines:
        program, *arguments = shlex.split(line)
        assert program == "pedalwright"
        status, _, wrong = run(capsys, *arguments)
        assert (status, wrong) == (0, ""), line


def test_the_circuits_of_its_page_are_usable() -> None:
    for text in blocks("pedal"):
        assert read_text(text).rest.certificate.ok
