"""Moving clocks against closed forms, and against a memory stepped on cell by cell."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from pedalwright.echo.modulation import (
    ClockStops,
    character,
    moved_once,
    moved_periodically,
    reach,
    sine,
    sine_pitch_deviation,
    through,
    triangle,
    triangle_pitch_deviation,
)
from pedalwright.formulas.modulation import cents, sine_deviation_s, sine_sweep_up_cents

DELAY_S, DEPTH = 0.1, 0.02


@pytest.mark.parametrize(("rate_hz", "want"), [(0.5, 10.8), (5.0, 69.3)])
def test_pitch_of_a_sine_against_a_published_style_experiment(rate_hz: float, want: float) -> None:
    """Figures of an independent time-domain experiment, to the digits it was noted with."""
    moved = moved_periodically(DEPTH * sine(), rate_hz=rate_hz, delay_s=DELAY_S)
    assert moved.up_cents == pytest.approx(want, abs=0.05)


def test_no_pitch_when_the_period_is_the_delay() -> None:
    moved = moved_periodically(DEPTH * sine(), rate_hz=10.0, delay_s=DELAY_S)
    assert abs(moved.up_cents) < 1e-9 and moved.swing_s < 1e-12


@pytest.mark.parametrize("rate_hz", [0.3, 1.0, 2.7, 5.0, 8.0, 12.0])
def test_small_sines_follow_the_closed_form(rate_hz: float) -> None:
    depth = 1e-4
    moved = moved_periodically(depth * sine(), rate_hz=rate_hz, delay_s=DELAY_S)
    want = sine_pitch_deviation(depth, rate_hz=rate_hz, delay_s=DELAY_S)
    assert moved.pitch_ratio.max() - 1 == pytest.approx(want, rel=1e-3)


@pytest.mark.parametrize("rate_hz", [0.4, 2.0, 4.9])
def test_small_triangles_follow_the_closed_form(rate_hz: float) -> None:
    moved = moved_periodically(1e-4 * triangle(), rate_hz=rate_hz, delay_s=DELAY_S)
    want = triangle_pitch_deviation(1e-4, rate_hz=rate_hz, delay_s=DELAY_S)
    assert moved.pitch_ratio.max() - 1 == pytest.approx(want, rel=1e-3)


def test_slow_sines_are_the_doppler_shift_of_the_delay() -> None:
    """1 Hz and 10 cents want 0.921975 ms (Doppler shift of a moving delay), when the period is long against
    the delay: here a thousand of them."""
    delay = 1e-3
    depth = sine_deviation_s(10.0, 1.0) / delay * 0.001
    moved = moved_periodically(depth * sine(), rate_hz=1.0, delay_s=delay)
    assert moved.up_cents == pytest.approx(sine_sweep_up_cents(1.0, moved.swing_s), rel=2e-3)
    assert cents(1.0) == 0.0


@pytest.mark.parametrize("rate_hz", [0.7, 3.1, 6.0])
def test_the_integral_of_the_clock_over_the_delay_stands_still(rate_hz: float) -> None:
    """The definition, by SciPy's quadrature and root finder on the smooth waveform itself."""
    depth = 0.3
    moved = moved_periodically(depth * sine(), rate_hz=rate_hz, delay_s=DELAY_S)

    def clock(time: float) -> float:
        return float(1 + depth * np.sin(2 * np.pi * rate_hz * time))

    for place in range(0, len(moved.time_s), 397):
        now = moved.time_s[place]
        delay = brentq(lambda d, now=now: quad(clock, now - d, now)[0] - DELAY_S, 1e-3, 1.0, xtol=1e-13)
        assert moved.delay_s[place] == pytest.approx(delay, rel=2e-6)
        assert moved.pitch_ratio[place] == pytest.approx(clock(now) / clock(now - delay), rel=2e-6)


def test_the_delay_is_the_one_a_memory_of_cells_has() -> None:
    """A chain of cells, stepped when the clock has made one more step: the time a mark takes to come out."""
    cells, rate_hz, depth = 4000, 3.0, 0.2
    clock_hz = cells / DELAY_S
    time = np.arange(0.0, 1.0, 1 / (60 * clock_hz))
    steps = np.cumsum(clock_hz * (1 + depth * np.sin(2 * np.pi * rate_hz * time))) / (60 * clock_hz)
    moved = moved_periodically(depth * sine(), rate_hz=rate_hz, delay_s=DELAY_S)
    for start in (0.1, 0.25, 0.5):
        came_in = np.searchsorted(time, start)
        out = np.searchsorted(steps, steps[came_in] + cells)
        delay = time[out] - time[came_in]
        place = round(float((time[out] % (1 / rate_hz)) * rate_hz * len(moved.delay_s))) % len(moved.delay_s)
        assert moved.delay_s[place] == pytest.approx(delay, abs=3 / clock_hz)


def test_an_envelope_that_settles_leaves_the_new_delay_and_the_old_pitch() -> None:
    time = np.linspace(0.0, 2.0, 4001)
    step = np.where(time > 0.5, 0.25, 0.0)
    moved = moved_once(time, step, delay_s=DELAY_S)
    assert moved.delay_s[0] == pytest.approx(DELAY_S, rel=1e-9)
    assert moved.delay_s[-1] == pytest.approx(DELAY_S / 1.25, rel=1e-6)
    assert moved.pitch_ratio.max() == pytest.approx(1.25, rel=1e-6)
    assert moved.pitch_ratio[-1] == pytest.approx(1.0, abs=1e-9)


def test_a_periodic_waveform_may_be_given_as_a_long_one() -> None:
    rate_hz, points = 4.0, 2048
    once = moved_periodically(0.1 * sine(points), rate_hz=rate_hz, delay_s=DELAY_S)
    time = np.arange(6 * points) / points / rate_hz
    long = moved_once(time, np.tile(0.1 * sine(points), 6), delay_s=DELAY_S)
    assert np.allclose(long.delay_s[-points:], once.delay_s, rtol=1e-6)


def test_a_clock_that_would_stop_is_refused() -> None:
    with pytest.raises(ClockStops):
        moved_periodically(1.01 * sine(), rate_hz=1.0, delay_s=DELAY_S)


def test_a_waveform_through_a_network_keeps_what_the_network_lets_pass() -> None:
    harmonics = np.zeros(9, dtype=complex)
    harmonics[0] = 0.5
    assert np.allclose(through(sine(512), harmonics), 0.5 * sine(512))
    first = np.fft.rfft(through(triangle(512), harmonics))
    # A triangle's fundamental is 8/pi^2 of its height (Fourier series).
    assert abs(first[1]) / 256 == pytest.approx(0.5 * 8 / np.pi**2, rel=1e-4)
    assert np.abs(first[2:]).max() < 1e-9


def test_notches_of_dry_and_delayed_sound() -> None:
    """Notches at (2k + 1)/(2 tau): 5 ms gives 100, 300, 500 Hz; level 0.5 gives -6.0206 dB."""
    moved = moved_periodically(1e-9 * sine(), rate_hz=1.0, delay_s=5e-3)
    found = character(moved, wet=0.5, dry=1.0)
    assert found.word == "flanger"
    assert found.shortest_notches_hz == pytest.approx((100.0, 300.0, 500.0), rel=1e-6)
    assert found.notch_db == pytest.approx(-6.0206, abs=1e-4)
    assert character(moved, wet=1.0, dry=0.0).word == "vibrato"
    assert character(moved, wet=1.0, dry=0.0).shortest_notches_hz == ()


@pytest.mark.parametrize(("delay_s", "word"), [(0.035, "chorus"), (0.07, "doubling"), (0.3, "moving echo")])
def test_what_the_ear_calls_it(delay_s: float, word: str) -> None:
    moved = moved_periodically(0.01 * sine(), rate_hz=1.0, delay_s=delay_s)
    assert character(moved, wet=1.0, dry=1.0).word == word


def test_what_a_chip_cannot_follow() -> None:
    fine = reach(np.array([0.05, 0.06]))
    assert not (fine.stalls or fine.held) and fine.at_limit == 0
    held = reach(np.array([0.02, 0.06]))
    assert held.held and not held.stalls and held.at_limit == 0.5
    assert reach(np.array([np.inf, 0.06])).stalls and reach(np.array([-0.1, 0.06])).stalls
