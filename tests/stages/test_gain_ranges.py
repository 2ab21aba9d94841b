"""A gain knob's range stands in the stage's own sentence; the gains are 1 + Zf/Zg and Zf/Zi."""

import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.notation import read_text
from pedalwright.stages.recognise import kind_of

HEAD = """pedal Range
supply VIN 9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=VIN v-=gnd
knob GAIN 100k linear at 5
VIN > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
U1.out > C2 1u > OUT
"""
NON_INVERTING = """IN > C3 100n > U1.non
U1.non > R3 1M > VB
U1.out > R4 100k > U1.inv
U1.inv > GAIN.3
GAIN.2 > GAIN.1 > R5 10k > C4 10u > gnd
"""
INVERTING = """IN > C3 1u > R3 10k > U1.inv
VB > U1.non
U1.inv > R4 10k > GAIN.3
GAIN.2 > GAIN.1 > U1.out
"""


@pytest.mark.parametrize(
    ("wiring", "kind", "low", "high"),
    [
        (NON_INVERTING, "non-inverting-amplifier", "1.91 times (+5.6 dB)", "11 times (+20.8 dB)"),
        (INVERTING, "inverting-amplifier", "1.00 times (0.0 dB)", "11 times (+20.8 dB)"),
    ],
)
def test_the_range_is_told_from_end_to_end(wiring: str, kind: str, low: str, high: str) -> None:
    """1 + 100k/110k is 1.91, 1 + 100k/10k is 11; (10k + 0)/10k is 1, (10k + 100k)/10k is 11."""
    analysis = Analysis(read_text(HEAD + wiring))
    stage = next(stage for stage in analysis.stages.stages if stage.kind == kind)
    purpose = kind_of(stage).purpose(stage, analysis.bench)
    assert f"GAIN takes the gain from {low} to {high}." in purpose
