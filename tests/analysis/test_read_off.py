"""Corners, natural frequency and Q read off sampled curves equal the exact ones of closed forms."""

import numpy as np
import pytest

from pedalwright.solve.band import band_hz
from pedalwright.solve.corners import find_corners
from pedalwright.solve.second_order import second_order

HZ = band_hz()
JF = 1j * HZ.astype(complex)


@pytest.mark.parametrize("corner_hz", [62.1, 434.0, 1591.549, 9_456.0])
def test_a_first_order_low_and_high_pass_have_their_corner_at_three_decibels(corner_hz: float) -> None:
    low = find_corners(HZ, 1 / (1 + JF / corner_hz), 1.0)
    high = find_corners(HZ, 1 / (1 + corner_hz / JF), 5e5)
    assert low is not None and low.high_hz == pytest.approx(corner_hz, rel=2e-3)
    assert high is not None and high.low_hz == pytest.approx(corner_hz, rel=2e-3)


@pytest.mark.parametrize(
    ("natural_hz", "q"), [(8987.36, 1.05409), (2164.74, 1.30542), (700.0, 0.5), (3400.0, 0.7071)]
)
def test_low_pass_and_high_pass_are_read_by_phase(natural_hz: float, q: float) -> None:
    x = JF / natural_hz
    low = second_order("sallen-key-low-pass", HZ, -2.0 / (1 + x / q + x * x))
    high = second_order("sallen-key-high-pass", HZ, 1.5 * x * x / (1 + x / q + x * x))
    for found in (low, high):
        assert found is not None
        assert found.natural_hz == pytest.approx(natural_hz, rel=3e-3)
        assert found.q == pytest.approx(q, rel=6e-3)


@pytest.mark.parametrize(("natural_hz", "q"), [(736.13, 4.163), (1000.0, 10.0), (120.0, 1.5)])
def test_a_band_pass_is_read_by_its_law(natural_hz: float, q: float) -> None:
    x = JF / natural_hz
    found = second_order("multiple-feedback-band-pass", HZ, -4.0 * (x / q) / (1 + x / q + x * x))
    assert found is not None
    assert found.natural_hz == pytest.approx(natural_hz, rel=1e-6)
    assert found.q == pytest.approx(q, rel=1e-6)


def test_other_kinds_have_no_natural_frequency() -> None:
    assert second_order("inverting-amplifier", HZ, np.ones_like(JF)) is None
