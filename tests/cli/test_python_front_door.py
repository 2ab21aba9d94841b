"""`import pedalwright as pw`: the same answers from Python, and the manual's page on it runs."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

import pedalwright as pw
from pedalwright import circuits

ROOT = Path(__file__).resolve().parents[2]
TEXT = "input IN line\noutput OUT 1M\nknob VOL 10k linear\nIN > VOL.3\nVOL.2 > OUT\nVOL.1 > gnd\n"


def test_a_file_and_its_text_are_the_same(tmp_path: Path) -> None:
    path = tmp_path / "a.pedal"
    path.write_text(TEXT, encoding="utf-8")
    assert pw.walk(pw.read(path)).text_sha256 == pw.walk(pw.read_text(TEXT)).text_sha256
    # Known answer of the hash from outside: sha256sum's algorithm, by hashlib.
    import hashlib

    assert pw.walk(pw.read(path)).text_sha256 == hashlib.sha256(TEXT.encode()).hexdigest()


def test_settings_move_knobs() -> None:
    half = pw.walk(pw.read_text(TEXT)).overall.gain_db
    tenth = pw.walk(pw.read_text(TEXT, settings={"VOL": 1})).overall.gain_db
    assert half is not None and tenth is not None
    # A linear knob at a tenth, nearly unloaded: 20 log10(0.1/0.5) = -13.98 dB further down.
    assert tenth - half == pytest.approx(-13.98, abs=0.05)


def test_mistakes_are_data() -> None:
    with pytest.raises(pw.UnusableCircuit) as caught:
        pw.read_text("IN > R1 4,7k > gnd\n")
    place = caught.value.remarks[0].span
    assert place is not None and place.line == 1
    with pytest.raises(ValueError, match="from 0 to 10"):
        pw.read_text(TEXT, settings={"VOL": 12})


def test_an_unknown_name_is_no_attribute() -> None:
    with pytest.raises(AttributeError, match="nothing"):
        pw.nothing  # noqa: B018


def test_importing_it_loads_nothing_heavy() -> None:
    heavy = "{'numpy', 'scipy', 'lark', 'rich', 'click'}"
    program = f"import sys, pedalwright; print(sorted({heavy} & set(sys.modules)))"
    run = subprocess.run([sys.executable, "-c", program], capture_output=True, check=True, encoding="utf-8")
    assert run.stdout.strip() == "[]"


def test_the_examples_of_the_manual_run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("lantern.pedal").write_text(circuits.text("lantern-echo"), encoding="utf-8")
    page = (ROOT / "docs" / "python.md").read_text(encoding="utf-8")
    examples = re.findall(r"```python\n(.*?)```", page, re.DOTALL)
    assert len(examples) >= 3
    names: dict[str, object] = {}
    for example in examples:
        exec(compile(example, "docs/python.md", "exec"), names)
    assert Path("lantern.html").stat().st_size > 10_000
