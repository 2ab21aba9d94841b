"""An amplifier that rests at a rail passes nothing: its pedal's noise is not told as if it did."""

import pytest

from pedalwright import circuits
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.noise import noise_answers
from pedalwright.analysis.rooms import amplifiers_at_a_rail
from pedalwright.notation.reading import read_text

TEXT = circuits.text("lesson-inverting-amplifier")
STUCK = TEXT.replace("U1.non > VB", "U1.non > R9 1k > gnd")


def analysis_of(text: str) -> Analysis:
    return Analysis(read_text(text), text)


def test_a_stuck_amplifier_is_named_and_its_noise_refused() -> None:
    stuck = analysis_of(STUCK)
    assert amplifiers_at_a_rail(stuck) == ("U1",)
    told = noise_answers(stuck)
    assert "U1 rests at a rail" in " ".join(told.refusals)
    assert all(one.weighted_v is None for one in told.inputs)


@pytest.mark.parametrize("name", circuits.names())
def test_no_built_in_circuit_is_stuck(name: str) -> None:
    assert amplifiers_at_a_rail(analysis_of(circuits.text(name))) == ()
