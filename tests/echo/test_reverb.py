"""Echo counts against plain enumeration, decay against closed forms."""

from itertools import product

import numpy as np
import pytest

from pedalwright.echo.reverb import (
    advise,
    arrivals_s,
    echo_count,
    echo_density,
    least_separate_arrivals,
    mode_density,
    needed_mode_density,
    rt60_per_octave_s,
    separate_arrivals,
    slowest_rt60_s,
)
from pedalwright.formulas.echo import decay_s

THREE = (0.047, 0.061, 0.083)


def _counted(delays: tuple[float, ...], until: float) -> int:
    """Every whole multiple of every delay, added up one by one."""
    ranges = [range(int(until / delay) + 2) for delay in delays]
    return sum(
        sum(n * t for n, t in zip(many, delays, strict=True)) <= until + 1e-12 for many in product(*ranges)
    )


@pytest.mark.parametrize(("until", "near", "exact"), [(0.3, 43, 43), (0.5, 148, 147), (1.0, 921, 920)])
def test_echo_count_and_its_closed_form(until: float, near: int, exact: int) -> None:
    assert _counted(THREE, until) == exact == len(arrivals_s(THREE, until))
    assert round(echo_count(THREE, until)) == near


@pytest.mark.parametrize("delays", [(0.05,), (0.041, 0.073), (0.033, 0.047, 0.058, 0.071)])
def test_the_closed_form_is_within_three_per_cent_late_enough(delays: tuple[float, ...]) -> None:
    late = 8 * max(delays)
    assert echo_count(delays, late) == pytest.approx(_counted(delays, late), rel=0.03, abs=1)


def test_density_is_the_slope_of_the_count() -> None:
    step = 1e-6
    slope = (echo_count(THREE, 1 + step) - echo_count(THREE, 1 - step)) / (2 * step)
    assert echo_density(THREE, 1.0) == pytest.approx(slope, rel=1e-6)


def test_delays_in_simple_ratios_waste_echoes() -> None:
    """42, 63 and 84 ms are 2, 3 and 4 times 21 ms: every sum is a multiple of 21 ms from 42 on, and 0: 23."""
    assert separate_arrivals((0.042, 0.063, 0.084)) == 23
    assert separate_arrivals((0.0494, 0.0644, 0.0752)) > 100
    assert least_separate_arrivals((0.042, 0.063, 0.084)) <= 23


def test_worst_chips_are_found_by_moving_each() -> None:
    delays = (0.05, 0.071)
    by_hand = min(separate_arrivals((0.05, 0.071 * f)) for f in (0.95, 0.975, 1.0, 1.025, 1.05))
    assert least_separate_arrivals(delays) == by_hand <= separate_arrivals(delays)


def test_advice_is_better_than_what_was_given_and_keeps_the_mean() -> None:
    given = (0.042, 0.063, 0.084)
    resistors = [ohms * 100.0 for ohms in (10, 12, 15, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47)]
    found = advise(given, resistors, lambda ohms: 0.0297 + 11.46e-6 * ohms)
    assert found
    best = found[0]
    assert best.least_separate > least_separate_arrivals(given)
    assert best.separate == separate_arrivals(best.delays_s)
    assert sum(best.delays_s) / 3 == pytest.approx(0.063, rel=0.05)
    assert all(ohms in resistors for ohms in best.ohms)


def test_too_many_echoes_are_refused() -> None:
    with pytest.raises(ValueError, match="more than"):
        arrivals_s((0.001, 0.0011, 0.0012), 5.0)


def test_mode_density_of_the_handbook() -> None:
    """0.15 modes per hertz and second of reverberation; modes per hertz are the sum of the delays
    (J. O. Smith, Physical Audio Signal Processing, Mode Density Requirement)."""
    assert mode_density(THREE) == pytest.approx(0.191)
    assert needed_mode_density(1.3) == pytest.approx(0.195)


def test_one_chip_decays_as_schroeder_says() -> None:
    """0.1 s and 0.708 give 2 s (J. O. Smith, Physical Audio Signal Processing, Schroeder Reverberators)."""
    assert slowest_rt60_s(np.array([[0.708]]), [0.1]) == pytest.approx(2.000444, rel=1e-6)
    assert slowest_rt60_s(np.array([[1.0]]), [0.1]) == float("inf")


def test_chips_in_step_decay_as_the_poles_of_their_network() -> None:
    """Equal delays: the largest eigenvalue of the matrix is the loop gain of one chip (NumPy's)."""
    sizes = np.array([[0.3, 0.4], [0.2, 0.5]])
    gain = float(np.abs(np.linalg.eigvals(sizes)).max())
    assert slowest_rt60_s(sizes, [0.08, 0.08]) == pytest.approx(decay_s(0.08, gain), rel=1e-6)


def test_unequal_delays_lie_between_equal_ones() -> None:
    sizes = np.array([[0.3, 0.4], [0.2, 0.5]])
    short, long = (slowest_rt60_s(sizes, [t, t]) for t in (0.05, 0.09))
    assert short < slowest_rt60_s(sizes, [0.05, 0.09]) < long


def test_octave_bands_take_the_gain_inside_them() -> None:
    frequency = np.geomspace(50, 16000, 400)
    loop = np.where(frequency < 1414, 0.8, 0.4)[:, None, None] + 0j
    found = rt60_per_octave_s(frequency, loop, [0.2])
    assert found[500.0] == pytest.approx(decay_s(0.2, 0.8), rel=1e-6)
    assert found[4000.0] == pytest.approx(decay_s(0.2, 0.4), rel=1e-6)
