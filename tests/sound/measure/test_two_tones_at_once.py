"""Sum and difference tones of a square and a cube, in closed form."""

import numpy as np
import pytest

from pedalwright.sound.measure.signals import always
from pedalwright.sound.measure.two_tones import difference_distortion, modulation_distortion

RATE_HZ = 48_000.0
A2, A3 = 0.1, 0.05


def bent(in_v: np.ndarray) -> np.ndarray:
    return np.asarray(in_v + A2 * in_v**2 + A3 * in_v**3)


def carried(own: float, other: float) -> float:
    """What a cube leaves of a tone beside another: (3/4) p^3 + (3/2) p q^2."""
    return own + A3 * (0.75 * own**3 + 1.5 * own * other**2)


def test_modulation_distortion() -> None:
    found = modulation_distortion(always(bent), RATE_HZ, input_peak_v=1.0)
    low, high = found.input_peaks_v
    assert (low, high) == pytest.approx((0.8, 0.2)) and found.tones_hz == pytest.approx((60, 7000), rel=5e-3)
    assert found.second_ratio == pytest.approx(2 * A2 * low * high / carried(high, low), rel=1e-6)
    assert found.third_ratio == pytest.approx(1.5 * A3 * low**2 * high / carried(high, low), rel=1e-6)


@pytest.mark.parametrize("tones_hz", [(4000.0, 5000.0), (19e3, 20e3)])
def test_difference_distortion(tones_hz: tuple[float, float]) -> None:
    found = difference_distortion(always(bent), RATE_HZ, input_peak_v=1.0, tones_hz=tones_hz)
    own = found.input_peaks_v[0]
    strength = 2 * carried(own, own)
    assert found.second_ratio == pytest.approx(A2 * own**2 / strength, rel=1e-6)
    assert found.third_ratio == pytest.approx(1.5 * A3 * own**3 / strength, rel=1e-6)


def test_silence_and_movement_give_no_ratio() -> None:
    for play in (np.zeros_like, lambda v: v * np.linspace(1, 3, len(v))):
        found = difference_distortion(always(play), RATE_HZ, input_peak_v=1.0)
        assert found.second_ratio is None and found.third_ratio is None and found.remarks
