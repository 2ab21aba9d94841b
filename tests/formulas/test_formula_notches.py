"""Twin-T, bridged-T, Wien and state-variable filters against handbook examples and nodal analysis."""

import cmath
import math

import numpy as np
import pytest

from pedalwright.formulas import notch, state_variable, two_pole

from .levels import at, db


def test_state_variable_of_floyd() -> None:
    # Floyd, examples 15.7 (7234 Hz, Q 33.7, BW 215) and 15.8 (60.286 Hz, R5 95.7k for Q 10 with 3.3k).
    assert state_variable.centre_hz(1e3, 22e-9) == pytest.approx(7234, abs=0.5)
    assert state_variable.quality(100e3, 1e3) == pytest.approx(33.7, abs=0.05)
    assert state_variable.centre_hz(1e3, 22e-9) / state_variable.quality(100e3, 1e3) == pytest.approx(
        214.8807
    )
    assert state_variable.quality(95.7e3, 3.3e3) == pytest.approx(10.0)


def test_passive_twin_t() -> None:
    f0 = notch.notch_hz(39008.56, 68e-9)
    assert f0 == pytest.approx(60.0, rel=1e-6)  # Gayakwad, example 7.10: printed 39.01k

    def ratio(x: float, shunt_error: float = 1.0) -> float:
        h = notch.twin_t_response(
            at(x * f0), first_ohms=39008.56, second_ohms=39008.56, shunt_ohms=39008.56 / 2 * shunt_error,
            first_farads=68e-9, second_farads=68e-9, shunt_farads=136e-9,
        )  # fmt: skip
        return abs(complex(h))

    expected = {0.1: 0.927179, 0.5: 0.351123, 0.9: 0.052704, 1.1: 0.047673, 2: 0.351123, 10: 0.927179}
    for x, size in expected.items():
        assert ratio(x) == pytest.approx(size, abs=1e-6)
    assert 20 * math.log10(ratio(math.sqrt(5) - 2)) == pytest.approx(-3.0103, abs=1e-4)
    assert 20 * math.log10(ratio(1.0, 1.01)) == pytest.approx(-55.084, abs=0.1)


def test_loaded_twin_t_agrees_with_nodal_analysis() -> None:
    s, load = at(730.0), 1 / 120e3
    parts = {"first_ohms": 10e3, "second_ohms": 22e3, "shunt_ohms": 4.7e3}
    farads = {"first_farads": 15e-9, "second_farads": 22e-9, "shunt_farads": 47e-9}
    rows = np.array(
        [
            [1 / 10e3 + 1 / 22e3 + s * 47e-9, 0, -1 / 22e3],
            [0, s * 37e-9 + 1 / 4.7e3, -s * 22e-9],
            [-1 / 22e3, -s * 22e-9, 1 / 22e3 + s * 22e-9 + load],
        ]
    )
    expected = np.linalg.solve(rows, np.array([1 / 10e3, s * 15e-9, 0]))[2]
    assert notch.twin_t_response(s, **parts, **farads, load_y=load) == pytest.approx(expected, rel=1e-12)


def test_active_twin_t_of_franco() -> None:
    # Franco, 3rd ed., example 3.14: Q 12, K 1.96; 1.3996 and 1.3707 at 57.5 and 62.5 Hz.
    gain = 2 - 1 / 24
    stage = notch.active_twin_t(ohms=1 / (2 * math.pi * 60 * 100e-9), farads=100e-9, gain=gain)
    assert (stage.q, stage.gain) == pytest.approx((12.0, 1.95833), rel=1e-5)
    assert abs(two_pole.notch_response(at(57.5), stage)) == pytest.approx(1.3996, abs=6e-5)
    assert abs(two_pole.notch_response(at(62.5), stage)) == pytest.approx(1.3707, abs=6e-5)
    assert abs(complex(two_pole.notch_response(at(60.0), stage))) < 1e-9


def test_wien_and_bridged_t() -> None:
    corner = 1 / (2 * math.pi * 10e3 * 10e-9)
    for x, size, degrees in [(0.5, 0.298142, 26.5651), (10, 0.0966691, -73.1416), (1, 1 / 3, 0.0)]:
        h = notch.wien_response(at(x * corner), ohms=10e3, farads=10e-9)
        assert complex(h) == pytest.approx(size * cmath.exp(1j * math.radians(degrees)), abs=1e-6)
    network = notch.bridged_t(shunt_ohms=1e3, bridge_ohms=100e3, farads=10e-9)
    assert network.notch_hz == pytest.approx(1591.549, abs=1e-3)
    assert network.numerator_q == pytest.approx(5.0)
    for x, expected in [(1, -34.1514), (0.5, -16.6666), (2, -16.6666), (0.1, -3.1401)]:
        h = notch.bridged_t_response(
            at(x * network.notch_hz), shunt_ohms=1e3, bridge_ohms=100e3, farads=10e-9
        )
        assert db(complex(h)) == pytest.approx(expected, abs=1e-4)
