"""Circuits drawn by other hands than the rules', all of which work as built, and the sketches of stage kinds:
nothing of the two upper gravities is said about them, save where the sketch truly would not work.
"""

from pathlib import Path

import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.notation import examine
from pedalwright.notation.reading import read_text
from pedalwright.review.reviewing import review
from pedalwright.stages.recognise import stage_kinds

FOLDER = Path(__file__).resolve().parents[1] / "circuits"
CIRCUITS = sorted(path for name in ("odd", "blind", "unseen") for path in (FOLDER / name).glob("*.pedal"))
SKETCHES = sorted({example.text for kind in stage_kinds() for example in (*kind.examples, *kind.near_misses)})
TRULY_STUCK = {"pedal Two signals", "pedal A capacitor across an ordinary amplifier"}
"""sketches of inverting amplifiers on half a supply, fed through a resistor from a line source at 0 V: their
output rests at 2 VB - 0 V = 9 V by R4 / R3, beyond what an op-amp on 9 V can do
"""


def alarms(text: str) -> list[tuple[str, str]]:
    told = review(Analysis(read_text(text), text))
    return [(one.rule.code, one.finding.what) for one in told.found if one.gravity.is_grave]


@pytest.mark.slow
@pytest.mark.parametrize("path", CIRCUITS, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_a_circuit_that_works_gives_no_alarm(path: Path) -> None:
    assert alarms(path.read_text(encoding="utf-8")) == []


@pytest.mark.slow
def test_sketches_of_stages_give_no_alarm() -> None:
    asked = 0
    for text in SKETCHES:
        circuit = examine(text).circuit
        if circuit is None or circuit.input is None or circuit.output is None:
            continue
        asked += 1
        if text.strip().splitlines()[0] not in TRULY_STUCK:
            assert alarms(text) == [], text
    assert asked > 30


def test_there_are_circuits_by_other_hands() -> None:
    assert len(CIRCUITS) > 15
