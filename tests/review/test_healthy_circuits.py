"""No finding of the two upper gravities on any circuit of the package, all of which work as built."""

import pytest

from pedalwright import circuits
from pedalwright.analysis.memo import Analysis
from pedalwright.notation.reading import read_text
from pedalwright.review.reviewing import review


@pytest.mark.parametrize("name", circuits.names())
def test_a_healthy_circuit_gives_no_alarm(name: str) -> None:
    text = circuits.text(name)
    told = review(Analysis(read_text(text), text))
    assert not [(one.rule.code, one.finding.what) for one in told.found if one.gravity.is_grave]
