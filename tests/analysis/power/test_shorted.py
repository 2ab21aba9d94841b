"""A supply that a part of no ohms joins to ground: nothing is told of it but that."""

import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.power import abuse, battery_life, budget, heat, ratings
from pedalwright.notation.reading import read_text
from pedalwright.review.reviewing import review
from pedalwright.review.rule import Gravity

SHORTED = """pedal Shorted
supply V 9V wall
input IN pickup
output OUT 1M
IN > R1 10k > OUT
V > R2 0R > gnd
V > R3 10k > gnd
"""


def test_a_shorted_supply_is_refused() -> None:
    analysis = Analysis(read_text(SHORTED), SHORTED)
    assert budget(analysis).refusals and not budget(analysis).rails
    assert abuse(analysis) == () and battery_life(analysis) is None
    assert heat(analysis) == () and ratings(analysis) == ()


@pytest.mark.parametrize("source", ["battery", "wall"])
def test_the_review_says_what_is_shorted(source: str) -> None:
    text = SHORTED.replace("wall", source)
    told = review(Analysis(read_text(text), text))
    assert any(one.gravity is Gravity.DAMAGE and "shorted" in one.finding.what for one in told.found)
