"""What is said about a drawing: what was drawn, that it was proved, and what had to be drawn otherwise."""

from dataclasses import replace

import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.notation import read_text
from pedalwright.report.drawing import proof_of, schematic
from pedalwright.report.drawing.telling import drawing_told

from .pictures import analysis_of, sheet_of

CROWDED = """supply VIN 9V battery
input IN pickup
output OUT 1M
part Q1 n-jfet J201
part Q2 n-jfet J201
VIN > R1 10k > Q1.d > C1 1n > Q2.s
Q1.s > R2 1k > Q2.d > R3 1k > gnd
IN > C2 1n > Q1.g > R4 1M > Q2.g > R5 1M > gnd
Q2.d > D1 1N4148 > OUT > C3 1u > Q1.s
"""


def test_a_usual_drawing_is_told_in_two_sentences() -> None:
    analysis, sheet = analysis_of("gatepost-buffer"), sheet_of("gatepost-buffer")
    told = drawing_told(analysis, sheet, proof_of(analysis, sheet), "gate.svg")
    assert len(told) == 2 and told[0].endswith("symbols in gate.svg.") and told[1].startswith("Proved:")


def test_what_is_drawn_otherwise_is_told() -> None:
    analysis, sheet = analysis_of("gatepost-buffer"), sheet_of("gatepost-buffer")
    name = analysis.stages.stages[0].name
    told = drawing_told(
        analysis, replace(sheet, safe=True, plain_stages=(name,)), proof_of(analysis, sheet), "gate.svg"
    )
    assert "every pin bears a flag" in told[2]
    assert told[3].startswith(f"{name} (") and "part by part" in told[3]


@pytest.mark.parametrize("symbols", ["iec", "american"])
def test_a_crowded_circuit_is_drawn_one_way_or_the_other(symbols: str) -> None:
    analysis = Analysis(read_text(CROWDED))
    sheet = schematic(analysis, symbols=symbols)
    assert proof_of(analysis, sheet).holds
    assert {one.part for one in sheet.placed} >= {part.ref for part in analysis.circuit.parts}
