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


def test_the_corner_is_counted_from_the_pass_band_and_not_from_the_reference() -> None:
    """A low-pass of 3 kHz has fallen 0.5 dB at 1 kHz already (1/sqrt(1 + x^2), any textbook)."""
    found = find_corners(HZ, 1 / (1 + JF / 3000.0), 1000.0)
    assert found is not None
    assert found.high_hz == pytest.approx(3000.0, rel=5e-3)
    assert found.reference_db == pytest.approx(0.0, abs=0.02)


def test_a_notch_between_two_stretches_of_pass_band_is_a_dip_and_no_corner() -> None:
    """H = (1 - x^2 + j x/qz) / (1 - x^2 + j x/qp): at x = 1 exactly qp/qz is left."""
    x = JF / 560.0
    found = find_corners(HZ, (1 + x * x + x / 10) / (1 + x * x + 2 * x), 1000.0)
    assert found is not None
    assert (found.low_hz, found.high_hz) == (None, None)
    (dip,) = found.dips
    assert dip.frequency_hz == pytest.approx(560.0, rel=0.02)
    assert dip.depth_db == pytest.approx(20 * np.log10(20.0), abs=0.3)


def test_a_notch_before_a_low_pass_leaves_the_corner_of_the_low_pass() -> None:
    x = JF / 400.0
    found = find_corners(HZ, (1 + x * x + x / 10) / (1 + x * x + 2 * x) / (1 + JF / 30e3), 1000.0)
    assert found is not None and len(found.dips) == 1
    # Counted from the top the level comes back to, 0.3 dB lower than that before the notch.
    assert found.high_hz == pytest.approx(30e3, rel=0.06)


def test_a_shelf_is_no_corner() -> None:
    """Twice the level below 70 Hz, flat at 1 kHz: nothing falls away from the stretch about 1 kHz."""
    found = find_corners(HZ, (1 + JF / 100.0) / (1 + JF / 50.0), 1000.0)
    assert found is not None
    assert found.reference_db == pytest.approx(-6.02, abs=0.1)
    assert (found.low_hz, found.high_hz, found.dips) == (None, None, ())


@pytest.mark.parametrize("reference_hz", [200.0, 700.0, 1000.0, 9000.0])
def test_a_band_pass_is_counted_from_its_top(reference_hz: float) -> None:
    """f0/Q is the width between the half-power points, f0 their geometric mean (any textbook)."""
    x, q = JF / 1200.0, 2.0
    found = find_corners(HZ, (x / q) / (1 + x * x + x / q), reference_hz)
    assert found is not None and found.low_hz is not None and found.high_hz is not None
    assert found.high_hz - found.low_hz == pytest.approx(1200.0 / q, rel=0.06)
    assert np.sqrt(found.high_hz * found.low_hz) == pytest.approx(1200.0, rel=0.02)


def test_an_integrator_has_no_pass_band() -> None:
    assert find_corners(HZ, 1 / JF, 1000.0) is None
