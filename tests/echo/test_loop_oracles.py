"""The algebra of many delays against what is known in closed form.

Sources: T60 and repeat counts, J. O. Smith, Physical Audio Signal Processing, "Schroeder Reverberators"
(0.1 s and 0.708 give 2 s); the rest is linear algebra by NumPy: eigenvalues, triangular and unitary
matrices.
"""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, strategies
from numpy.typing import ArrayLike
from scipy.signal import lfilter

from pedalwright.echo.bound import bound, upper_bound
from pedalwright.echo.loop import Loop, closed_response
from pedalwright.echo.nyquist import count_growing, threshold
from pedalwright.echo.repeats import buildup_db, decay_s, repeats
from pedalwright.solve.certificate import Certificate

FREQUENCY = np.geomspace(20.0, 20e3, 300)
SURE = Certificate(residual_a=0.0, condition=1.0, iterations=1, method="by hand")


def loop_by_hand(
    a: ArrayLike, delays_s: list[float], b: np.ndarray | None = None, c: np.ndarray | None = None
) -> Loop:
    chips = len(delays_s)
    ways = np.broadcast_to(np.asarray(a, dtype=complex), (len(FREQUENCY), chips, chips)).copy()
    ones = np.ones((len(FREQUENCY), chips), dtype=complex)
    return Loop(
        chips=tuple(f"U{place}" for place in range(chips)),
        delays_s=np.array(delays_s),
        gains=np.ones(chips),
        frequency_hz=FREQUENCY,
        a=ways,
        b=ones if b is None else ones * b,
        c=ones if c is None else ones * c,
        h0=np.full(len(FREQUENCY), 0.3 + 0j),
        certificate=SURE,
    )


def test_one_loop_is_the_geometric_series() -> None:
    loop = loop_by_hand([[0.8]], [0.217])
    late = np.exp(-2j * np.pi * FREQUENCY * 0.217)
    np.testing.assert_allclose(closed_response(loop), 0.3 + late / (1 - 0.8 * late), rtol=1e-12)


def test_equal_delays_equal_the_eigen_decomposition() -> None:
    rng = np.random.default_rng(3)
    a = 0.4 * rng.standard_normal((3, 3))
    b, c = rng.standard_normal(3), rng.standard_normal(3)
    values, vectors = np.linalg.eig(a)
    late = np.exp(-2j * np.pi * FREQUENCY * 0.09)
    wanted = 0.3 + sum(
        (c @ vectors[:, k]) * (np.linalg.inv(vectors)[k] @ b) * late / (1 - values[k] * late)
        for k in range(3)
    )
    np.testing.assert_allclose(closed_response(loop_by_hand(a, [0.09] * 3, b, c)), wanted, rtol=1e-10)


def test_triangular_matrix_is_as_safe_as_its_diagonal() -> None:
    a = np.array([[0.5, 3.0, -7.0], [0, 0.6, 2.0], [0, 0, -0.55]], dtype=complex)
    # The scaling that shows it is one without end; two per cent above is near enough.
    assert upper_bound(a) == pytest.approx(0.6, rel=0.02)
    assert bound(a).lower == pytest.approx(0.6, rel=1e-6)
    assert np.linalg.norm(a, 2) > 7


def reflection(size: int) -> np.ndarray:
    v = np.ones(size) / np.sqrt(size)
    return np.asarray(np.eye(size) - 2 * np.outer(v, v))


def ring(size: int) -> np.ndarray:
    return np.roll(np.eye(size), 1, axis=0)


@pytest.mark.parametrize("a", [reflection(2), reflection(3), ring(2), ring(3), ring(4)])
def test_lossless_mixing_has_the_threshold_one(a: np.ndarray) -> None:
    found = bound(a.astype(complex))
    assert found.upper == pytest.approx(1.0, rel=1e-3)
    assert found.lower == pytest.approx(1.0, rel=1e-3)


@given(strategies.integers(1, 3), strategies.integers(0, 10_000))
def test_both_bounds_hold_each_other(size: int, seed: int) -> None:
    rng = np.random.default_rng(seed)
    a = rng.standard_normal((size, size)) + 1j * rng.standard_normal((size, size))
    found = bound(a[None])
    radius = np.abs(np.linalg.eigvals(a)).max()
    assert radius <= found.lower[0] * (1 + 1e-3)
    assert found.lower[0] <= found.upper[0] * (1 + 1e-9)
    assert found.upper[0] <= found.signless[0] * (1 + 1e-9)
    # Doyle: for up to three delays the two meet; the search stops a little before.
    assert found.upper[0] <= 1.03 * found.lower[0]


@given(strategies.integers(0, 10_000))
def test_two_delays_worst_phase_found_by_brute_force(seed: int) -> None:
    rng = np.random.default_rng(seed)
    a = rng.standard_normal((2, 2)) + 1j * rng.standard_normal((2, 2))
    turns = np.exp(1j * np.linspace(0, 2 * np.pi, 721))
    tried = np.array([np.diag([1, turn]) @ a for turn in turns])
    worst = np.abs(np.linalg.eigvals(tried)).max()
    assert upper_bound(a) == pytest.approx(worst, rel=2e-4)


def scaled(loop: Loop, factors: np.ndarray) -> Loop:
    """The same loop with every delay's sound counted in another unit."""
    return replace(
        loop,
        a=loop.a * factors[:, None] / factors[None, :],
        b=loop.b * factors,
        c=loop.c / factors,
    )


def permuted(loop: Loop, order: list[int]) -> Loop:
    return replace(
        loop,
        chips=tuple(loop.chips[place] for place in order),
        delays_s=loop.delays_s[order],
        a=loop.a[:, order][:, :, order],
        b=loop.b[:, order],
        c=loop.c[:, order],
    )


def test_scaling_and_order_change_nothing() -> None:
    rng = np.random.default_rng(8)
    loop = loop_by_hand(0.3 * rng.standard_normal((3, 3)), [0.0513, 0.0717, 0.1139], rng.standard_normal(3))
    wanted, echoes = closed_response(loop), repeats(loop, 30)
    for other in (scaled(loop, np.array([1.0, 20.0, 0.03])), permuted(loop, [2, 0, 1])):
        np.testing.assert_allclose(closed_response(other), wanted, rtol=1e-9)
        np.testing.assert_allclose(bound(other.a).upper, bound(loop.a).upper, rtol=5e-3)
        np.testing.assert_allclose(decay_s(other), decay_s(loop), rtol=1e-6)
        found = repeats(other, 30)
        np.testing.assert_allclose([one.time_s for one in found], [one.time_s for one in echoes], rtol=1e-12)
        np.testing.assert_allclose(
            [one.spectrum for one in found], [one.spectrum for one in echoes], rtol=1e-9, atol=1e-15
        )


def test_no_feedback_one_echo() -> None:
    loop = loop_by_hand(np.zeros((1, 1)), [0.2])
    assert [one.time_s for one in repeats(loop, 10)] == [0.2]
    assert not loop.recirculates


@pytest.mark.parametrize(
    ("delay", "gain", "t60"),
    [(0.1, 0.708, 2.000444), (0.1, 0.7, 1.936709), (0.3, 0.5, 2.989735), (0.25, 0.9, 16.390759)],
)
def test_decay_as_published(delay: float, gain: float, t60: float) -> None:
    assert decay_s(loop_by_hand([[gain]], [delay]))[100] == pytest.approx(t60, rel=1e-6)


def test_decay_against_a_comb_in_time() -> None:
    rate, late, gain = 8000, 400, 0.83
    click = np.zeros(rate * 6)
    click[0] = 1.0
    heard = lfilter([1.0], np.concatenate([[1.0], np.zeros(late - 1), [-gain]]), click)
    echoes = np.abs(heard[::late])
    below = int(np.argmax(echoes < 1e-3))
    found = decay_s(loop_by_hand([[gain]], [late / rate]))[0]
    assert (below - 1) * late / rate < found <= below * late / rate


def test_several_delays_decay_as_the_slowest_mode_of_a_lossless_prototype() -> None:
    """Jot's rule: a gain of 10^(-3 T/T60) before each delay of a lossless network makes one decay time."""
    delays = np.array([0.0297, 0.0371, 0.0411])
    a = np.diag(10 ** (-3 * delays / 1.5)) @ reflection(3)
    slowest = decay_s(loop_by_hand(a, delays.tolist()))[0]
    assert slowest >= 1.5
    same_sign = np.diag(10 ** (-3 * delays / 1.5)) @ ring(3)
    assert decay_s(loop_by_hand(same_sign, delays.tolist()))[0] == pytest.approx(1.5, rel=1e-6)


def test_noise_grows_as_the_mean_over_the_comb() -> None:
    """7.2 dB at 0.9: the mean of 1/|1 - a e^(j theta)|^2 round the circle is 1/(1 - a^2)."""
    gain = 0.9
    angle = np.linspace(0, 2 * np.pi, 4096, endpoint=False)
    mean = np.mean(1 / np.abs(1 - gain * np.exp(1j * angle)) ** 2)
    found = buildup_db(loop_by_hand([[gain]], [0.1]))[0]
    assert found == pytest.approx(10 * np.log10(mean), rel=1e-9)
    assert found == pytest.approx(7.2, abs=0.02)


def band_limited(mixing: np.ndarray) -> Callable[[float, np.ndarray], np.ndarray]:
    """Ways through one mixing matrix: no direct current, treble falling off, chosen by a master gain."""

    def ways(gain: float, frequency_hz: np.ndarray) -> np.ndarray:
        s = 2j * np.pi * frequency_hz
        shape = s / (s + 2 * np.pi * 30) / (1 + s / (2 * np.pi * 3000)) ** 2
        return np.asarray(gain * shape[:, None, None] * mixing)

    return ways


def test_nothing_grows_below_the_bound_and_something_just_above_it() -> None:
    """Delays without a simple ratio: the bound is all but exact, and roots come in pairs."""
    mixing = np.array([[0.6, -0.5], [0.7, 0.4]])
    ways = band_limited(mixing)
    peak = float(upper_bound(ways(1.0, FREQUENCY)).max())
    delays = np.array([0.047, 0.061])
    assert count_growing(lambda f: ways(0.97 / peak, f), delays).growing == 0
    found = threshold(ways, delays, 0.97 / peak, 2.0 / peak, steps=9)
    assert found is not None
    assert 0.999 / peak <= found <= 1.05 / peak
    below = count_growing(lambda f: ways(0.98 * found, f), delays)
    above = count_growing(lambda f: ways(1.02 * found, f), delays)
    assert below.growing == 0
    assert above.growing is not None and above.growing > 0 and above.growing % 2 == 0
