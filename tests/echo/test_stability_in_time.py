"""Thresholds against a simulation in time that shares nothing with their computation but A over frequency.

Oracle: impulse responses and delays, sound going round (`in_time`); at 3 % below the threshold it must die
away, at 3 % above it must grow.
"""

from functools import partial

import numpy as np
import pytest

from pedalwright import circuits
from pedalwright.analysis.echo_answers import echo_answers
from pedalwright.echo.bound import bound, upper_bound
from pedalwright.echo.nyquist import count_growing, threshold
from pedalwright.echo.stability import bass_sum, runaway
from pedalwright.report.repeats_sentences import bass_warning
from tests.echo.circuits import APPLICATION_ECHO, Bench, put_on_bench
from tests.echo.in_time import impulse_responses, slope_db_per_s

FREQUENCY = np.geomspace(20.0, 20e3, 600)


def ways_of(bench: Bench, level_db: float, factor: float, frequency_hz: np.ndarray) -> np.ndarray:
    return np.asarray(factor * bench.cut.corner(frequency_hz).ways(bench.gains(level_db)[None])[0])


# Filters that peak, as in the maker's delay circuit, and no treble cut in the mixer: invented for this test.
LOOKS_SAFE = (
    circuits.text("grainloft-reverb")
    .replace("C33 1n5 (film)", "C33 22p (ceramic)")
    .replace("C12 4n7 (film)", "C12 6n8 (film)")
    .replace("C22 4n7 (film)", "C22 6n8 (film)")
    .replace("C13 1n (film)", "C13 470p (film)")
    .replace("C23 1n (film)", "C23 470p (film)")
    .replace("R25 51k", "R25 43k")
    .replace("R26 51k", "R26 43k")
)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("text", "knob"), [(APPLICATION_ECHO, "REPEATS"), (LOOKS_SAFE, "DECAY")], ids=["one chip", "two chips"]
)
def test_threshold_in_time(text: str, knob: str) -> None:
    bench = put_on_bench(text, **{knob: 10.0})
    ways = partial(ways_of, bench, 0.0)
    safe = 1 / float(upper_bound(ways(1.0, FREQUENCY)).max())
    found = threshold(ways, bench.delays_s, 0.98 * safe, 1.5 * safe, steps=9)
    assert found is not None
    for factor, grows in ((0.97, False), (1.03, True)):
        responses = impulse_responses(partial(ways, factor * found), len(bench.chips))
        assert (slope_db_per_s(responses, bench.delays_s) > 0) == grows


@pytest.mark.slow
@pytest.mark.parametrize("delays_ms", [(47.0, 61.0, 83.0), (50.0, 100.0, 150.0)])
def test_three_delays_in_time(delays_ms: tuple[float, ...]) -> None:
    """Random mixing; with delays in simple ratios the bound is only safe, the count is exact."""
    mixing = np.random.default_rng(4).standard_normal((3, 3))
    delays = np.array(delays_ms) / 1e3

    def ways(factor: float, frequency_hz: np.ndarray) -> np.ndarray:
        s = 2j * np.pi * frequency_hz
        shape = s / (s + 2 * np.pi * 60) / (1 + s / (2 * np.pi * 3000)) ** 2
        return factor * shape[:, None, None] * mixing

    safe = 1 / float(upper_bound(ways(1.0, FREQUENCY)).max())
    found = threshold(ways, delays, 0.98 * safe, 3 * safe, steps=11)
    assert found is not None and found >= 0.99 * safe
    for factor, grows in ((0.97, False), (1.03, True)):
        responses = impulse_responses(partial(ways, factor * found), 3)
        assert (slope_db_per_s(responses, delays) > 0) == grows


def test_the_runaway_of_one_chip_is_where_its_loop_returns_what_set_out() -> None:
    bench = put_on_bench(APPLICATION_ECHO, REPEATS=5.0)
    circuit, track = bench.with_knob("REPEATS")
    found = runaway(circuit, track, bench.gains(2.5), bench.delays_s)
    assert found.position is not None and found.howl_hz is not None
    again = put_on_bench(APPLICATION_ECHO, REPEATS=found.position)
    sizes = np.abs(ways_of(again, 2.5, 1.0, FREQUENCY)[:, 0, 0])
    assert sizes.max() == pytest.approx(1.0, rel=1e-4)
    assert FREQUENCY[int(np.argmax(sizes))] == pytest.approx(found.howl_hz, rel=0.05)


def test_a_reverb_that_looks_safe_at_low_frequency_and_is_not() -> None:
    bench = put_on_bench(LOOKS_SAFE, DECAY=10.0)
    ways = ways_of(bench, -0.5, 1.0, FREQUENCY)
    found = bound(ways)
    place = int(np.argmax(found.upper))
    assert bass_sum(ways, FREQUENCY) < 0.97
    assert found.lower[place] > 1.0
    assert FREQUENCY[place] > 2e3
    growing = count_growing(partial(ways_of, bench, -0.5, 1.0), bench.delays_s).growing
    assert growing is not None and growing > 0
    answers = echo_answers(bench.analysis, 3, 50)
    assert answers is not None
    assert "looks safe and is not" in bass_warning(answers.repeats_knobs[0]).replace("\n", " ")


def test_lantern_is_not_called_unsafe() -> None:
    bench = put_on_bench(circuits.text("lantern-echo"), REPEATS=10.0)
    answers = echo_answers(bench.analysis, 3, 50)
    assert answers is not None
    knob = answers.repeats_knobs[0]
    assert knob.runaway.growing_now == 0 and knob.runaway.now.margin_db > 0
    assert bass_warning(knob) == ""
