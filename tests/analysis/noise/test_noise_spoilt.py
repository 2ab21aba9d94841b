"""Circuits spoilt by chance: finite figures or a reason, never an exception."""

import json

import pytest

from pedalwright import circuits
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.naming_nets import NetMistake
from pedalwright.analysis.noise import STATES, noise_answers
from pedalwright.notation import examine
from pedalwright.report.markdown_page import markdown_page
from pedalwright.report.noise_document import noise_document
from pedalwright.report.noise_json import noise_json
from tests.fuzz.spoiling import spoiled

TEXTS = tuple(map(circuits.text, circuits.names()))


@pytest.mark.parametrize("first", range(0, 120, 20))
def test_spoilt_circuits_are_told_or_refused(first: int) -> None:
    for seed in range(first, first + 20):
        text = spoiled(TEXTS, seed)
        circuit = examine(text).circuit
        if circuit is None:
            continue
        try:
            found = noise_answers(Analysis(circuit, text), source=STATES[seed % 3])
        except NetMistake:
            assert circuit.output is None or circuit.output.net == "gnd"
            continue
        json.loads(noise_json(found))
        assert markdown_page(noise_document(found))
        assert found.refusals or all(one.weighted_v is not None for one in found.inputs)


def test_enough_of_them_are_circuits() -> None:
    assert sum(examine(spoiled(TEXTS, seed)).circuit is not None for seed in range(120)) >= 20
