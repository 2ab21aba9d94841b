"""The memory as a delay: its length, a moving clock, a clock that stands still or does not start.

Sources: for a memory of M cells the delay is that over which the clock makes M steps, so that a clock of
f (1 + m sin 2 pi F t) bends the pitch by 2 m |sin(pi F tau)| for small m; the start-up mute and the least
resistance at switch-on are the maker's data sheet, V1.6, February 2010, page 4.
"""

import numpy as np
import pytest
from numpy.typing import NDArray

from pedalwright.echo.delay_law import delay_s
from pedalwright.echo.one_bit.chips import Chips, chips_of
from pedalwright.echo.one_bit.one_chip import OneChip
from pedalwright.echo.one_bit.pass_step import MOST_BITS, pass_step
from pedalwright.echo.one_bit.rate import bit_rate
from pedalwright.echo.one_bit.state import OneBitState, clock_starts, faults, fresh, switch_on
from pedalwright.echo.one_bit.through import through
from pedalwright.solve.arrays import FloatArray

RATE_HZ = 48_000
STEP_S = 1 / RATE_HZ
CHIP = OneChip()


def burst(seconds: float) -> FloatArray:
    """A short swell of a 500 Hz tone, with a middle one can find."""
    time_s = np.arange(round(RATE_HZ * seconds)) / RATE_HZ - 0.02
    return np.asarray(0.3 * np.exp(-((time_s / 0.004) ** 2)) * np.cos(2 * np.pi * 500 * time_s))


def lag_s(out: FloatArray, into: FloatArray) -> float:
    """By how much one sound comes after another: the peak of their correlation, between the frames."""
    size = 2 * len(into)
    both = np.fft.irfft(np.fft.rfft(out, size) * np.conj(np.fft.rfft(into, size)), size)
    at = int(np.argmax(both))
    before, peak, after = both[at - 1 : at + 2]
    return float(at + 0.5 * (before - after) / (before - 2 * peak + after)) / RATE_HZ


@pytest.mark.parametrize("ohms", [0.5, 4.7e3, 12.1e3, 27.6e3, 50e3])
def test_the_echo_comes_after_the_delay_of_the_table(ohms: float) -> None:
    delay = float(delay_s(ohms))
    into = burst(delay + 0.1)
    assert lag_s(through(into, RATE_HZ, delay_s=delay, chip=CHIP), into) == pytest.approx(delay, rel=1e-3)


def test_twice_the_delay_is_twice_the_time() -> None:
    into = burst(0.5)
    once, twice = (lag_s(through(into, RATE_HZ, delay_s=at, chip=CHIP), into) for at in (0.15, 0.3))
    assert twice / once == pytest.approx(2.0, rel=1e-3)


def test_a_unit_off_by_four_percent_is_late_by_as_much() -> None:
    into = burst(0.3)
    late = through(into, RATE_HZ, delay_s=0.15, chip=OneChip(delay_factor=1.04))
    assert lag_s(late, into) == pytest.approx(0.156, rel=1e-3)


def test_the_engine_that_hands_its_sound_over_late_still_has_the_right_delay() -> None:
    """As the engine does: four past samples, the coder two steps late, that much less in the memory."""
    delay = 0.08
    into = burst(delay + 0.1)
    rate = float(bit_rate(delay, 2 * STEP_S)) * STEP_S
    chips, state = chips_of([CHIP], STEP_S), fresh([CHIP])
    leak = STEP_S / (CHIP.coder_ohms * CHIP.coder_farads)
    out, volts = np.zeros(len(into)), 0.0
    for at in range(4, len(into)):
        mean, _ = pass_step(chips, state, 0, rate, *into[at - 4 : at])
        volts += leak * (CHIP.coder_ohms * mean - volts)
        out[at] = volts
    assert lag_s(out, into) == pytest.approx(delay, rel=1e-3)


def bend(lfo_hz: float, depth: float, delay: float) -> float:
    """Peak deviation of the pitch of 1 kHz behind a clock that swings by `depth`."""
    tone_hz, seconds = 1000.0, 1.0
    time_s = np.arange(round(RATE_HZ * (seconds + 3 * delay))) / RATE_HZ
    clock = 1 + depth * np.sin(2 * np.pi * lfo_hz * time_s)
    out = through(0.3 * np.sin(2 * np.pi * tone_hz * time_s), RATE_HZ, delay_s=delay / clock, chip=CHIP)
    turned = out * np.exp(-2j * np.pi * tone_hz * time_s)
    smooth = np.convolve(turned, np.hanning(4 * RATE_HZ // 1000), "same")[
        -round(RATE_HZ * (seconds + delay)) :
    ]
    angle = np.unwrap(np.angle(smooth[: round(RATE_HZ * seconds)]))
    turn = np.exp(-2j * np.pi * lfo_hz * np.arange(len(angle)) / RATE_HZ)
    swing = 2 * np.abs(np.mean((angle - angle.mean()) * turn))
    return float(swing * lfo_hz / tone_hz)


@pytest.mark.parametrize("lfo_hz", [1.0, 2.0, 3.0, 5.0, 7.0])
def test_a_moving_clock_bends_the_pitch(lfo_hz: float) -> None:
    expected = 2 * 0.02 * abs(np.sin(np.pi * lfo_hz * 0.1))
    assert bend(lfo_hz, 0.02, 0.1) == pytest.approx(expected, rel=0.02)


def test_a_clock_that_swings_once_a_delay_bends_nothing() -> None:
    """Memory over the present rate would say 2 pi F tau m = 0.126."""
    assert bend(10.0, 0.02, 0.1) < 4e-4


def steps(
    chips: Chips, state: OneBitState, count: int, bits: float, volts: float = 0.2
) -> NDArray[np.float64]:
    return np.array([pass_step(chips, state, 0, bits, volts, volts, volts, volts) for _ in range(count)])


@pytest.mark.parametrize("bits", [0.0, -3.0, float("nan")])
def test_a_clock_that_stands_still_makes_no_bits_and_no_current(bits: float) -> None:
    chips, state = chips_of([CHIP], STEP_S), fresh([CHIP])
    steps(chips, state, 50, 9.2)
    memory, place = state.memory.copy(), int(state.place[0])
    assert not steps(chips, state, 50, bits).any()
    assert (state.memory == memory).all() and state.place[0] == place
    assert steps(chips, state, 50, 9.2).any() and faults(state) == ()


@pytest.mark.parametrize("bits", [1e9, float("inf")])
def test_a_clock_out_of_all_reason_is_slowed_down(bits: float) -> None:
    chips, state = chips_of([CHIP], STEP_S), fresh([CHIP])
    found = steps(chips, state, 20, bits)
    assert np.isfinite(found).all() and faults(state) == ()
    assert state.place[0] == pytest.approx(20 * MOST_BITS % CHIP.memory_bits, abs=1)


@pytest.mark.parametrize("volts", [float("nan"), float("inf"), 1e300])
def test_what_is_no_sound_spoils_no_chip(volts: float) -> None:
    chips, state = chips_of([CHIP], STEP_S), fresh([CHIP])
    assert np.isfinite(steps(chips, state, 50, 9.2, volts)).all() and faults(state) == ()
    assert abs(state.coder_v[0]) <= CHIP.swing_v


@pytest.mark.parametrize("delay", [0.0, -0.1, 1e-5, float("nan"), float("inf")])
def test_a_delay_that_is_none_has_no_bit_rate(delay: float) -> None:
    assert bit_rate(delay, 2e-5) == 0.0


def test_after_switch_on_it_is_silent_then_up_within_400_ms() -> None:
    chips, state = chips_of([CHIP], STEP_S), fresh([CHIP])
    assert switch_on(state, 0, 10e3)
    found = np.abs(steps(chips, state, round(0.45 * RATE_HZ), 9.2)[:, 0])
    settled = found[round(0.41 * RATE_HZ) :].max()
    assert not found[: round(0.19 * RATE_HZ)].any()
    assert 0 < found[round(0.29 * RATE_HZ) : round(0.31 * RATE_HZ)].max() < 0.7 * settled
    assert settled > 0 and state.since_start_s[0] == pytest.approx(0.4, abs=2 * STEP_S)


def test_a_clock_that_locks_up_at_switch_on_never_starts() -> None:
    chips, state = chips_of([CHIP], STEP_S), fresh([CHIP])
    assert not switch_on(state, 0, 999.0)
    assert not steps(chips, state, round(0.6 * RATE_HZ), 9.2).any()
    assert switch_on(state, 0, 1000.0) and not clock_starts(float("nan"))
    assert steps(chips, state, round(0.6 * RATE_HZ), 9.2).any()
