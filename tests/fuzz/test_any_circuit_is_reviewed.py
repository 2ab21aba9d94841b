"""Spoiled texts and circuits of pure chance that can be read: each is reviewed, and told, without a fault."""

import json
from collections.abc import Callable

import pytest

from pedalwright import circuits
from pedalwright.analysis.memo import Analysis
from pedalwright.notation import examine
from pedalwright.report.check_document import check_document
from pedalwright.report.check_json import check_json
from pedalwright.report.markdown_page import markdown_page
from pedalwright.review.reviewing import review

from .answering import watched
from .random_circuits import random_circuit
from .spoiling import spoiled
from .texts import TEXTS

ALL_TEXTS = (*TEXTS, *map(circuits.text, circuits.names()))
BATCH = 100
SPOILED_BATCHES, CHANCE_BATCHES = 10, 8
"""a thousand spoiled texts, of which a quarter are usable, and eight hundred by chance, as many of them"""
REVIEW_HANG_S = 25.0
"""processor time: wrong supplies tried on circuits of nonsense take seconds to be given up"""


def spoiled_text(seed: int) -> str:
    return spoiled(ALL_TEXTS, seed)


def ask(text_of: Callable[[int], str], batch: int) -> int:
    """How many texts of a batch could be read; each of these is reviewed and told."""
    usable = 0
    for seed in range(batch * BATCH, (batch + 1) * BATCH):
        text = text_of(seed)
        circuit = examine(text).circuit
        if circuit is None:
            continue
        usable += 1
        try:
            with watched(REVIEW_HANG_S):
                told = review(Analysis(circuit, text))
                json.loads(check_json(circuit.title, told, text, "", {}))
                markdown_page(check_document(circuit.title, told, text, "", in_full=True))
        except BaseException as failure:
            failure.add_note(f"seed {seed}, text {text[:2000]!a}")
            raise
    return usable


@pytest.mark.parametrize("text_of", [spoiled_text, random_circuit])
def test_a_hundred_texts_are_reviewed(text_of: Callable[[int], str]) -> None:
    assert ask(text_of, 0) > 15


@pytest.mark.slow
@pytest.mark.parametrize("batch", range(1, SPOILED_BATCHES))
def test_nine_hundred_more_spoiled_texts_are_reviewed(batch: int) -> None:
    assert ask(spoiled_text, batch) > 5


@pytest.mark.slow
@pytest.mark.parametrize("batch", range(1, CHANCE_BATCHES))
def test_two_hundred_circuits_of_pure_chance_are_reviewed(batch: int) -> None:
    assert ask(random_circuit, batch) > 5
