"""Questions about the way the supply takes."""

import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.notation import read_text
from pedalwright.stages.supplies import drop_volts


@pytest.mark.parametrize("supply_v", [9.0, -9.0])
def test_a_drop_counts_up_whatever_the_sign_of_the_supply(supply_v: float) -> None:
    """The divider rule: 100 ohm of 1 kohm, 0.9 V of 9 V."""
    bench = Analysis(
        read_text(f"pedal Drop\nsupply VIN {supply_v:g}V wall\nVIN > R1 100 > VA > R2 900 > gnd\n")
    ).bench
    assert drop_volts(bench, "VIN", "VA") == pytest.approx(0.9)
