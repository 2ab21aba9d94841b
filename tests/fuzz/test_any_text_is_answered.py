"""Ten thousand spoiled texts: none raises, none hangs, every one gets a circuit or remarks."""

import pytest

from pedalwright.notation import examine

from .answering import answer, watched
from .spoiling import spoiled
from .texts import TEXTS

BATCH = 500
QUICK_BATCHES = 2
BATCHES = 20


def ask(batch: int) -> None:
    for seed in range(batch * BATCH, (batch + 1) * BATCH):
        text = spoiled(TEXTS, seed)
        try:
            with watched():
                answer(text)
        except BaseException as failure:
            failure.add_note(f"seed {seed}, text {text[:2000]!a}")
            raise


@pytest.mark.parametrize("batch", range(QUICK_BATCHES))
def test_a_thousand_spoiled_texts_are_answered(batch: int) -> None:
    ask(batch)


@pytest.mark.slow
@pytest.mark.parametrize("batch", range(QUICK_BATCHES, BATCHES))
def test_nine_thousand_more_are_answered(batch: int) -> None:
    ask(batch)


def test_the_spoiled_texts_are_worth_asking() -> None:
    """Most are wrong, some still work, and they are wrong in many ways."""
    readings = [examine(spoiled(TEXTS, seed)) for seed in range(300)]
    usable = sum(reading.circuit is not None for reading in readings)
    codes = {remark.code for reading in readings for remark in reading.remarks}
    assert 20 < usable < 200
    assert len(codes) > 25
