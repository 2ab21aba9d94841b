"""What the meter does to the reading, against Thevenin by hand and a bent circuit solved by SciPy."""

import numpy as np
import pytest
from scipy.optimize import brentq

from pedalwright import read_text
from pedalwright.analysis.voltages import voltage_table
from pedalwright.analysis.voltages.meter import read_by_meter
from pedalwright.analysis.voltages.population import Versions, solve

from .circuits_in_hand import HIGH_DIVIDER, package

THERMAL_V = 1.380649e-23 * 300.15 / 1.602176634e-19
STARVED = """pedal Starved diode
supply V 9V wall
V > R1 10M > A > D1 1N4148 (saturation=4nA, emission=1.9, series=0) > gnd
"""


@pytest.mark.parametrize("meter_ohms", [1e5, 1e6, 1e7, 1e9])
def test_a_divider_of_megohms_reads_as_thevenin_says(meter_ohms: float) -> None:
    """4.5 V behind 500 kohm into Rm: V = 4.5 Rm/(Rm + 500k)."""
    found = voltage_table(read_text(HIGH_DIVIDER), measured={"V": 9.0}, meter_ohms=meter_ohms).nets["A"]
    assert found.typical_v == pytest.approx(4.5 * meter_ohms / (meter_ohms + 0.5e6), rel=1e-6)
    assert found.meter_v == pytest.approx((found.typical_v or 0) - 4.5, rel=1e-6)


def test_every_build_is_loaded_as_its_own_resistance_asks() -> None:
    """The corners of R1, R2 = 1 Mohm +-5 % with 1 Mohm across R2, by hand: 9 G1/(G1 + G2 + Gm)."""
    found = voltage_table(read_text(HIGH_DIVIDER), measured={"V": 9.0}, meter_ohms=1e6).nets["A"]
    g = {share: 1 / share for share in (0.95, 1.05)}
    low, high = 9 * g[1.05] / (g[1.05] + g[0.95] + 1), 9 * g[0.95] / (g[0.95] + g[1.05] + 1)
    assert found.low_v is not None and found.high_v is not None
    assert low <= found.low_v < low + 0.02 and high - 0.02 < found.high_v <= high


def test_a_meter_that_takes_nothing_reads_the_rest_point() -> None:
    analysis = read_text(HIGH_DIVIDER)
    found = voltage_table(analysis, measured={"V": 9.0}, meter_ohms=float("inf")).nets["A"]
    assert found.typical_v == pytest.approx(4.5, rel=1e-9) and found.meter_v == 0.0


@pytest.mark.parametrize("meter_ohms", [2e5, 1e6, 1e7])
def test_where_the_circuit_bends_it_is_solved_with_the_meter(meter_ohms: float) -> None:
    """Shockley's diode, 10 Mohm and the meter: one equation, solved by SciPy's bracketing."""

    def current(volts: float) -> float:
        diode = 4e-9 * np.expm1(volts / (1.9 * THERMAL_V)) + 1e-13 * volts
        return float((9 - volts) / 10e6 - diode - volts / meter_ohms)

    found = voltage_table(read_text(STARVED), measured={"V": 9.0}, meter_ohms=meter_ohms).nets["A"]
    assert found.typical_v == pytest.approx(brentq(current, 0.0, 2.0, xtol=1e-12), rel=2e-3)


def test_the_theorem_and_the_solved_circuit_agree_on_every_net_of_a_real_pedal() -> None:
    """Each net of the echo solved with the meter really on it, one circuit at a time."""
    analysis = package("lantern-echo")
    alone = solve(analysis.system, Versions(count=1), analysis.rest.x)
    read = read_by_meter(alone, 1e6).x[0]
    for row in range(analysis.system.node_count):
        loaded = solve(analysis.system, Versions(count=1).loaded(row, 1e-6), analysis.rest.x)
        assert read[row] == pytest.approx(loaded.x[0, row], abs=2e-3)


@pytest.mark.parametrize("meter_ohms", [0.0, -1.0, 5.0, float("nan"), 1e20])
def test_a_meter_that_cannot_be_is_refused(meter_ohms: float) -> None:
    with pytest.raises(ValueError, match="meter"):
        voltage_table(read_text(HIGH_DIVIDER), meter_ohms=meter_ohms)
