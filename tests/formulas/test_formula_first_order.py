"""First-order sections and chains of them."""

import cmath
import math

import numpy as np
import pytest

from pedalwright.formulas import rc

from .levels import at, db


@pytest.mark.parametrize("x", [0.1, 0.5, 1.0, 2.0, 10.0])
def test_first_order_sections(x: float) -> None:
    f0 = rc.corner_hz(10e3, 10e-9)
    assert f0 == pytest.approx(1591.549431, rel=1e-9)
    low = complex(rc.low_pass_response(at(x * f0), ohms=10e3, farads=10e-9))
    high = complex(rc.high_pass_response(at(x * f0), ohms=10e3, farads=10e-9))
    table = {
        0.1: (-0.04321, -5.7106),
        0.5: (-0.96910, -26.5651),
        1.0: (-3.01030, -45.0),
        2.0: (-6.98970, -63.4349),
        10.0: (-20.04321, -84.2894),
    }
    level, phase = table[x]
    assert db(low) == pytest.approx(level, abs=1e-5)
    assert math.degrees(cmath.phase(low)) == pytest.approx(phase, abs=1e-4)
    assert math.degrees(cmath.phase(high)) == pytest.approx(90 + phase, abs=1e-4)


@pytest.mark.parametrize(
    ("ohms", "farads", "hertz"),
    [
        (1e3, 100e-9, 1591.549), (22e3, 1e-9, 7234.316), (1e6, 22e-9, 7.234316), (4.7e3, 10e-9, 3386.275),
        (10e3, 15e-9, 1061.033), (47.0, 47e-6, 72.048), (5e3, 47e-6, 0.677255), (100.0, 100e-6, 15.9155),
    ],
)  # fmt: skip
def test_corners(ohms: float, farads: float, hertz: float) -> None:
    assert rc.corner_hz(ohms, farads) == pytest.approx(hertz, rel=1e-5)


def test_loaded_sections_and_arrays() -> None:
    s = 2j * np.pi * np.array([10.0, 1000.0, 30e3])
    h = rc.low_pass_response(s, ohms=22e3, farads=4.7e-9, load_ohms=100e3, source_ohms=1.5e3)
    expected = (1 / (1 / 100e3 + s * 4.7e-9)) / (23.5e3 + 1 / (1 / 100e3 + s * 4.7e-9))
    assert np.asarray(h).shape == (3,)
    np.testing.assert_allclose(h, expected, rtol=1e-12)
    corner = rc.low_pass_corner_hz(ohms=22e3, farads=4.7e-9, load_ohms=100e3, source_ohms=1.5e3)
    assert corner == pytest.approx(1 / (2 * math.pi * (23.5e3 * 100e3 / 123.5e3) * 4.7e-9))
    coupled = rc.high_pass_response(s, farads=47e-9, ohms=220e3, source_ohms=10e3)
    np.testing.assert_allclose(coupled, 220e3 / (230e3 + 1 / (s * 47e-9)), rtol=1e-12)


def test_two_unlike_sections_by_their_polynomial() -> None:
    both = rc.two_sections(first_ohms=4.7e3, first_farads=22e-9, second_ohms=68e3, second_farads=1e-9)
    hertz = both.minus_3db_hz
    s = at(hertz)
    h = 1 / (1 + s * (4.7e3 * 23e-9 + 68e3 * 1e-9) + s * s * 4.7e3 * 22e-9 * 68e3 * 1e-9)
    assert db(h) == pytest.approx(-3.0103, abs=1e-4)
    poles = np.roots([4.7e3 * 22e-9 * 68e3 * 1e-9, 4.7e3 * 23e-9 + 68e3 * 1e-9, 1.0]) / (-2 * np.pi)
    assert sorted(poles.real) == pytest.approx([both.lower_pole_hz, both.upper_pole_hz])
    # Gayakwad, example 7.7: 200 Hz to 1 kHz buffered, printed 447.2 Hz and gain 3.3333 there.
    centre = math.sqrt(200 * 1000)
    high = rc.high_pass_response(at(centre), farads=1 / (2 * math.pi * 200 * 1e4), ohms=1e4)
    low = rc.low_pass_response(at(centre), farads=1 / (2 * math.pi * 1000 * 1e4), ohms=1e4)
    assert 4 * abs(complex(high * low)) == pytest.approx(3.3333, abs=5e-5)
