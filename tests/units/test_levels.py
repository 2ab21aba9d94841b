"""Level references against figures printed by audio makers (1.228 V, 0.316 V, 11.78 dB, 1.947 V)."""

import math

import numpy as np
import pytest

from pedalwright.units import levels


def test_reference_voltages() -> None:
    assert pytest.approx(0.7745967, abs=1e-7) == levels.DBU_REFERENCE_V
    assert pytest.approx(2.218487, abs=1e-6) == levels.DBU_ABOVE_DBV_DB


@pytest.mark.parametrize(
    ("dbu", "volts"), [(4.0, 1.227653), (8.0, 1.945699), (-20.0, 0.07745967), (-17.781513, 0.1)]
)
def test_dbu_both_ways(dbu: float, volts: float) -> None:
    assert levels.volts_of_dbu(dbu) == pytest.approx(volts, rel=1e-6)
    assert levels.dbu_of_volts(volts) == pytest.approx(dbu, abs=1e-5)


def test_consumer_and_studio_level_differ_by_11_78_db() -> None:
    studio, home = levels.volts_of_dbu(4.0), levels.volts_of_dbv(-10.0)
    assert home == pytest.approx(0.316228, abs=1e-6)
    assert levels.db_of_ratio(studio / home) == pytest.approx(11.781513, abs=1e-6)


def test_one_volt_peak_sine() -> None:
    rms = levels.rms_of_peak_sine(1.0)
    assert levels.dbu_of_volts(rms) == pytest.approx(-0.791812, abs=1e-6)
    assert levels.dbv_of_volts(rms) == pytest.approx(-3.010300, abs=1e-6)


def test_arrays_go_in_and_come_out() -> None:
    out = levels.db_of_ratio(np.array([1.0, 10.0, 0.0]))
    assert out.shape == (3,)
    assert out[1] == pytest.approx(20.0) and math.isinf(out[2])


def test_powers_add() -> None:
    # Franco, Design with Operational Amplifiers, 3rd ed., example 7.3: 0.8221, 11.5412, 76.6812 uV.
    assert levels.sum_of_powers([0.8221, 11.5412, 76.6812]) == pytest.approx(77.5492, abs=1e-3)
