"""The verb `voltages`: exit statuses, pages, JSON as documented, and a manual page that is true."""

import io
import json
import re
import shlex
import sys
from pathlib import Path

import pytest

from pedalwright import circuits
from tests.report.pages import assert_sound
from tests.report.schemas import documented_keys, keys_of

from .running import run

ROOT = Path(__file__).resolve().parents[2]
PAGE = (ROOT / "docs" / "voltages.md").read_text(encoding="utf-8")
GOOD = "VIN 9 U2: 1=4.97 2=2.48"
BAD = "VIN 9 VB 0.02"


@pytest.fixture
def lantern(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "lantern.pedal"
    path.write_text(circuits.text("lantern-echo"), encoding="utf-8")
    return path


def test_the_table_is_printed_and_ends_well(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = run(capsys, "voltages", lantern)
    assert (status, err) == (0, "")
    assert re.search(
        r"U1\.5 +U1b non +non-inverting input \(half supply\) +3\.\d\d V +4\.23 V +4\.\d\d V", out
    )
    assert "seed 5" in out and "1000 builds" in out and "Reads wrong if" in out


@pytest.mark.parametrize(
    ("text", "status"), [(GOOD, 0), (BAD, 1), ("nothing at all", 1), ("U2.1 5 and a word", 0)]
)
def test_the_exit_status_tells_of_the_readings(
    text: str, status: int, lantern: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    found, out, err = run(capsys, "voltages", lantern, "--read", text, "--builds", 100)
    assert (found, err) == (status, "")
    assert "Your readings" in out


def test_readings_come_from_a_file_or_the_input(
    lantern: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    Path("list.txt").write_bytes(b"\xef\xbb\xbfVIN 9\r\nVB 0.02 \xff\r\n")
    assert run(capsys, "voltages", lantern, "--read", "@list.txt", "--builds", 50)[0] == 1
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(GOOD.encode()), encoding="utf-8"))
    assert run(capsys, "voltages", lantern, "--read", "-", "--builds", 50)[0] == 0


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (("--measured", "VB=4"), "neither a supply nor held by a regulator"),
        (("--measured", "VIN"), "NET=V"),
        (("--measured", "VIN=x"), "no digits"),
        (("--measured", "VIN=9", "--measured", "VIN=8"), "twice"),
        (("--measured", "NOPE=9"), "no net"),
        (("--meter", "5"), "a meter has between"),
        (("--meter", "loud"), "no digits"),
        (("--builds", "1"), "--builds"),
        (("--read", "@no-such-file"), "cannot use no-such-file"),
        (("--read", "1=2", "--chip", "U9"), "no chip 'U9'"),
        (("--json", "--markdown"), "--json has the output to itself"),
        (("--html", "lantern.pedal"), "give the result another ending"),
    ],
)
def test_what_cannot_be_asked_is_one_sentence(
    arguments: tuple[str, ...], sentence: str, lantern: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, out, err = run(capsys, "voltages", lantern, *arguments)
    assert (status, out) == (2, "")
    assert sentence in err and "Traceback" not in err


def test_a_circuit_without_a_supply_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "tone.pedal"
    path.write_text(circuits.text("three-shelves-tone"), encoding="utf-8")
    status, out, _ = run(capsys, "voltages", path)
    assert status == 1 and "no supply" in out
    status, out, _ = run(capsys, "voltages", path, "--json", "--read", "IN 0")
    assert status == 1 and json.loads(out)["refusals"]


def test_a_text_with_mistakes_is_told_as_everywhere(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "wrong.pedal"
    path.write_text("IN > R1 4,7k > gnd\n", encoding="utf-8")
    assert run(capsys, "voltages", path)[0] == 2


def test_the_page_to_print_is_sound_and_has_room_to_write(
    lantern: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, out, err = run(capsys, "voltages", lantern, "--html", "bench.html", "--read", BAD)
    assert (status, out, err) == (1, "", "")
    page = assert_sound(Path("bench.html").read_text(encoding="utf-8"))
    heads = [element.text for element in page.all("th")]
    assert "yours" in heads and "Your readings" in [element.text for element in page.all("h2")]
    cells = [element.text for element in page.all("td")]
    assert cells.count("________") == 33
    # The usual cautions stand on a page that goes to the bench.
    assert "Never open, mend or build a mains adaptor" in "".join(one.text for one in page.all("div"))


def test_markdown_goes_to_the_output(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(capsys, "voltages", lantern, "--markdown")
    assert status == 0 and out.startswith("# Lantern Echo: voltages\n") and "| U2.6 | time |" in out


def test_json_has_exactly_the_documented_keys(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One circuit with faults and knobs, one that oscillates; together they show every key."""
    seen: set[str] = set()
    for name, arguments in (
        ("lantern-echo", ("--read", "VIN 9 VB 0.02 hum 1=4.9", "--measured", "V5=4.9")),
        ("millwheel-tremolo", ()),
    ):
        path = tmp_path / f"{name}.pedal"
        path.write_text(circuits.text(name), encoding="utf-8")
        _, out, _ = run(capsys, "voltages", path, "--json", "--builds", 50, *arguments)
        data = json.loads(out)
        assert data["schema"] == "pedalwright.voltages/1"
        seen |= keys_of(data)
    assert seen == documented_keys(ROOT, "pedalwright.voltages/1")


def test_json_repeats_itself(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    first, second = (run(capsys, "voltages", lantern, "--json", "--builds", 50)[1] for _ in range(2))
    assert first == second


def test_every_command_of_the_manual_page_runs(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (block,) = re.findall(r"^```sh\n(.*?)^```", PAGE, re.MULTILINE | re.DOTALL)
    for line in block.splitlines():
        program, *arguments = shlex.split(line)
        assert program == "pedalwright"
        status, _, err = run(capsys, *arguments)
        assert (status, err) == (0, ""), line


def test_what_the_manual_page_shows_is_what_is_printed(
    lantern: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (excerpt,) = re.findall(r"^```text\n(.*?)^```", PAGE, re.MULTILINE | re.DOTALL)
    printed = _bare(run(capsys, "voltages", lantern)[1])
    assert [line for line in _bare(excerpt) if line not in printed] == []
    (block,) = re.findall(r"^```console\n\$ (.*?)^```", PAGE, re.MULTILINE | re.DOTALL)
    command, *shown = block.splitlines()
    again = run(capsys, *shlex.split(command)[1:])[1].splitlines()
    # The certificate's digits may differ from machine to machine.
    steady = [[line for line in lines if "residual" not in line] for lines in (shown, again)]
    assert steady[0] == steady[1]


def _bare(text: str) -> list[str]:
    return [" ".join(line.split()) for line in text.splitlines() if line.strip()]
