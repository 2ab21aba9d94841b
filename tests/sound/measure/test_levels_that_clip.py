"""The level from which a circuit clips, against the closed form of a clipped sine."""

import math

import numpy as np
import pytest
from scipy import integrate, optimize

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.measure.clip_level import clip_level
from pedalwright.sound.measure.signals import always

RATE_HZ = 48_000.0


def thd_of_clipping(limit: float) -> float:
    """THD of a sine of one volt cut at a limit: all power that is not the fundamental's."""
    corner = math.asin(limit)

    def mean(wave: "object", power: int) -> float:
        return float(
            integrate.quad(
                lambda x: min(math.sin(x), limit) ** power * (math.sin(x) if power == 1 else 1.0),
                0,
                math.pi / 2,
                points=[corner],
            )[0]
        )

    first = 4 / math.pi * mean(None, 1)
    square = 2 / math.pi * mean(None, 2)
    return math.sqrt(square - first**2 / 2) / (first / math.sqrt(2))


@pytest.mark.parametrize("rail_v", [0.18, 2.5])
def test_a_hard_limit(rail_v: float) -> None:
    limit = optimize.brentq(lambda at: thd_of_clipping(at) - 0.01, 0.5, 0.9999)
    found = clip_level(always(lambda v: np.clip(3 * v, -rail_v, rail_v)), RATE_HZ)
    assert found.input_peak_v == pytest.approx(rail_v / 3 / limit, rel=5e-3)
    assert found.by == "distortion" and found.remarks == ()
    assert found.start_gain_db == pytest.approx(20 * math.log10(3), abs=1e-6)


def test_a_gain_that_falls_without_distortion() -> None:
    def compressor(in_v: FloatArray) -> FloatArray:
        return np.asarray(in_v / (1 + np.abs(in_v).max()))

    found = clip_level(always(compressor), RATE_HZ, range_v=(1e-4, 10.0))
    assert found.by == "gain"
    assert found.input_peak_v == pytest.approx(10 ** (1 / 20) * (1 + 1e-4) - 1, rel=5e-3)


def test_a_limit_not_met_is_not_guessed() -> None:
    found = clip_level(always(lambda v: np.clip(v, -5, 5)), RATE_HZ, range_v=(0.01, 3.0))
    assert found.input_peak_v is None and "no limit is met up to 3 V" in found.remarks[0]


def test_a_circuit_that_always_distorts() -> None:
    found = clip_level(always(np.sign), RATE_HZ)
    assert found.input_peak_v is None and "at every level" in found.remarks[0]


def test_distortion_of_faint_sounds_is_not_taken_for_clipping() -> None:
    def with_a_dead_zone(in_v: FloatArray) -> FloatArray:
        return np.asarray(np.clip(in_v - np.clip(in_v, -1e-3, 1e-3), -2, 2))

    found = clip_level(always(with_a_dead_zone), RATE_HZ)
    assert found.input_peak_v == pytest.approx(2, rel=0.05) and "below" in found.remarks[0]


def test_silence_and_noise_are_no_clipping() -> None:
    assert "silent" in clip_level(always(np.zeros_like), RATE_HZ).remarks[0]
    generator = np.random.default_rng(11)
    found = clip_level(
        always(lambda v: np.clip(v, -1, 1) + 1e-3 * generator.standard_normal(len(v))),
        RATE_HZ,
        range_v=(0.01, 5.0),
    )
    assert found.input_peak_v == pytest.approx(1 / 0.9693, rel=0.02)
