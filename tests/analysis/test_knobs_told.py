"""How the answers about knobs are told: documents, JSON, refusals and the verb."""

import json
from pathlib import Path

import pytest

from pedalwright.analysis.knob_answers import KnobMistake, knobs
from pedalwright.analysis.memo import Analysis
from pedalwright.cli.main import main
from pedalwright.report.knobs_json import knobs_json
from tests.report.schemas import documented_keys, keys_of

from .knob_circuits import CIRCUITS, circuit, one

ROOT = Path(__file__).resolve().parents[2]


def test_an_uncertified_circuit_is_refused_in_a_sentence() -> None:
    analysis = circuit("lesson-band-pass")
    answer = one(analysis, "SWEEP", 11)
    broken = Analysis(analysis.circuit)
    object.__setattr__(broken, "__dict__", {**broken.__dict__, "small": None})
    refused = one(broken, "SWEEP", 11)
    assert answer.heard and not refused.heard and refused.refusals and not refused.certified.any()


def test_names_and_steps_that_cannot_be() -> None:
    analysis = circuit("lesson-band-pass")
    with pytest.raises(KnobMistake, match="there are SWEEP"):
        knobs(analysis, ["TIME"])
    for steps in (3, 100_000):
        with pytest.raises(KnobMistake, match="positions"):
            knobs(analysis, (), steps)
    assert knobs(circuit("lesson-voltage-follower")) == ()


def test_json_has_no_nan_and_every_position() -> None:
    answers = knobs(circuit("three-shelves-tone"), (), 11)
    data = json.loads(knobs_json("t", answers, "", {}), parse_constant=pytest.fail)
    assert data["schema"] == "pedalwright.knobs/1" and len(data["knobs"]) == 3
    assert len(data["knobs"][0]["heard"][0]["values"]) == len(data["knobs"][0]["positions"])


def test_every_key_is_documented_and_every_documented_key_is_there() -> None:
    """DEPTH has advice with a resistor in it, so no branch of the record is left out."""
    answers = knobs(circuit("duckpond-chorus"), ["DEPTH"], 11)
    assert answers[0].heard[0].advice is not None and answers[0].heard[0].advice.padding is not None
    data = json.loads(knobs_json("t", answers, "", {}))
    assert keys_of(data) == documented_keys(ROOT, "pedalwright.knobs/1")


def test_the_verb_writes_what_it_is_asked_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("band.pedal").write_text((CIRCUITS / "lesson-band-pass.pedal").read_text(encoding="utf-8"))
    assert main(["knobs", "band.pedal", "--steps", "11"]) == 0
    told = capsys.readouterr().out
    assert "SWEEP" in told and "evenness" in told
    assert main(["knobs", "band.pedal", "--html", "band.html", "--markdown", "band.md"]) == 0
    page = Path("band.html").read_text(encoding="utf-8")
    assert "<svg" in page and "SWEEP, 0 to 10" in page
    assert "| position |" in Path("band.md").read_text(encoding="utf-8")
    assert main(["knobs", "band.pedal", "--knob", "NONE"]) == 2
    assert "there are SWEEP" in capsys.readouterr().err
    assert main(["knobs", "band.pedal", "--json", "--set", "SWEEP=2"]) == 0
    assert json.loads(capsys.readouterr().out)["settings"] == {"SWEEP": "2.0"}
