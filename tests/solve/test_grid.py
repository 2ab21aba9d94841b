"""Corners, peaks and notches of curves whose answers are known in closed form."""

import numpy as np
import pytest

from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.grid import corners, decibels, dip, log_frequencies, notch_depth_db, peak

GRID = log_frequencies(10.0, 1e5, 20)


def test_grid_holds_both_ends_and_is_even() -> None:
    assert GRID[0] == pytest.approx(10.0) and GRID[-1] == pytest.approx(1e5)
    np.testing.assert_allclose(np.diff(np.log10(GRID)), 1 / 20, rtol=1e-9)
    for low, high in ((0.0, 1.0), (10.0, 10.0), (5.0, 1.0)):
        with pytest.raises(ValueError, match="no grid"):
            log_frequencies(low, high)


def test_corners_of_a_band() -> None:
    def band_db(f: FloatArray) -> FloatArray:
        return decibels(1 / (1 + 30.0 / (1j * f)) / (1 + 1j * f / 4e3))

    top = peak(band_db, GRID)
    # 1/|.|^2 = (1 + (30/f)^2)(1 + (f/4000)^2) is least at f^2 = 30 * 4000.
    assert top.frequency_hz == pytest.approx(np.sqrt(30.0 * 4e3), rel=1e-6) and not top.at_edge
    low, high = corners(band_db, GRID, reference_db=0.0)
    assert low.rising and not high.rising
    # (1 + a/x)(1 + x/b) = 2 with x = f^2, a = 900, b = 16e6: x^2 + (a - b) x + a b = 0.
    wanted = np.sqrt(np.sort(np.roots([1.0, 900.0 - 16e6, 900.0 * 16e6])))
    assert low.frequency_hz == pytest.approx(wanted[0], rel=1e-10)
    assert high.frequency_hz == pytest.approx(wanted[1], rel=1e-10)


def test_resonance_peak_between_samples() -> None:
    q, f0 = 8.0, 1234.5

    def curve(f: FloatArray) -> FloatArray:
        x = f / f0
        return decibels(1 / (1 - x**2 + 1j * x / q))

    top = peak(curve, GRID)
    # Peak of a second-order low-pass: f0 sqrt(1 - 1/(2 Q^2)), height Q/sqrt(1 - 1/(4 Q^2)).
    assert top.frequency_hz == pytest.approx(f0 * np.sqrt(1 - 1 / (2 * q * q)), rel=1e-6)
    assert top.value == pytest.approx(20 * np.log10(q / np.sqrt(1 - 1 / (4 * q * q))), abs=1e-9)


def test_notch() -> None:
    def curve(f: FloatArray) -> FloatArray:
        x = f / 997.0
        return decibels((1 - x**2 + 1e-4j * x) / (1 - x**2 + 2j * x))

    lowest = dip(curve, GRID)
    assert lowest.frequency_hz == pytest.approx(997.0, rel=1e-5)
    assert lowest.value == pytest.approx(20 * np.log10(1e-4 / 2), abs=1e-3)
    assert notch_depth_db(curve, GRID) == pytest.approx(86.02, abs=0.05)
    assert notch_depth_db(lambda f: -f, GRID) == 0.0


def test_an_edge_is_not_a_peak() -> None:
    assert peak(lambda f: -f, GRID).at_edge
