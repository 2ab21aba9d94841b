"""The maker's two application circuits, whole: loop gains, filters, polarity.

Source: the maker's data sheet, Echo Processor IC, V1.6, February 2010, page 2, for the circuits and page 5
for the chip's gain. The loop gains and filter figures were computed from it by hand (Ohm's law at the
knob, the textbook formulas of the multiple-feedback low-pass) and are held here to 0.5 % and to what hand
figures allow.
"""

import numpy as np
import pytest

from pedalwright.echo.repeats import polarity, worst_gain
from pedalwright.echo.stability import runaway
from pedalwright.solve.band import Band
from pedalwright.solve.gains import stage_gains
from tests.echo.circuits import APPLICATION_DELAY, APPLICATION_ECHO, Bench, put_on_bench

MIDDLE_HZ = np.array([150.0, 200.0, 250.0])
"""where neither the coupling capacitors nor the low-passes count"""


def middle_gain(position: float, level_db: float) -> float:
    bench = put_on_bench(APPLICATION_ECHO, REPEATS=position)
    return float(np.median(worst_gain(bench.loop(level_db, MIDDLE_HZ))))


@pytest.mark.parametrize(("level_db", "gain"), [(0.0, 0.897), (2.5, 1.196), (-0.5, 0.847)])
def test_loop_gain_fully_up_over_the_spread_of_chips(level_db: float, gain: float) -> None:
    assert middle_gain(10.0, level_db) == pytest.approx(gain, rel=0.005)


@pytest.mark.parametrize(("position", "gain"), [(7.5, 0.456), (5.0, 0.284), (2.5, 0.171)])
def test_loop_gain_over_the_knob(position: float, gain: float) -> None:
    assert middle_gain(position, 0.0) == pytest.approx(gain, rel=0.005)


def test_repeats_come_back_in_step() -> None:
    loop = put_on_bench(APPLICATION_ECHO).loop(0.0)
    assert polarity(loop.frequency_hz, loop.a[:, 0, 0], loop.at(1000.0)) == 1


def test_with_the_makers_largest_gain_it_runs_away_and_with_the_typical_one_not() -> None:
    bench = put_on_bench(APPLICATION_ECHO, REPEATS=5.0)
    circuit, track = bench.with_knob("REPEATS")
    typical = runaway(circuit, track, bench.gains(-0.5), bench.delays_s)
    largest = runaway(circuit, track, bench.gains(2.5), bench.delays_s)
    assert typical.position is None and typical.full.margin_db > 0
    assert largest.position is not None and 9.0 < largest.position < 10.0


def test_the_delay_circuit_repeats_once() -> None:
    loop = put_on_bench(APPLICATION_DELAY).loop(0.0)
    assert not loop.recirculates
    # Two inverting low-passes of gain one; 2.7 kohm into 100 kohm beside 1 Mohm takes a little.
    load = 1 / (1 / 100e3 + 1 / 1e6)
    wanted = load / (load + 2.7e3)
    assert abs(loop.c[:, 0] * loop.b[:, 0])[loop.at(300.0)] == pytest.approx(wanted, rel=0.005)


def filter_figures(bench: Bench, source: str, output: str) -> tuple[float, float, float]:
    """Gain, f0 (where a two-pole low-pass has turned by 90 degrees) and Q (its gain there over that
    below).
    """
    assert bench.analysis.small is not None
    frequency = np.geomspace(200.0, 40e3, 801)
    band = Band(bench.analysis.small, frequency)
    gain = stage_gains(band, [source], output)[0]
    low = abs(gain[0])
    turned = np.unwrap(np.angle(-gain))
    f0 = float(np.exp(np.interp(np.pi / 2, -turned, np.log(frequency))))
    return float(low), f0, float(np.interp(f0, frequency, np.abs(gain)) / low)


@pytest.mark.parametrize(
    ("text", "gain", "f0", "q"),
    [(APPLICATION_ECHO, 1.5, 9.56e3, 0.74), (APPLICATION_DELAY, 1.0, 7.34e3, 1.11)],
    ids=["echo", "delay"],
)
def test_output_filters(text: str, gain: float, f0: float, q: float) -> None:
    bench = put_on_bench(text)
    chip = bench.chips[0]
    found = filter_figures(bench, chip.net("12"), chip.net("14"))
    assert found == pytest.approx((gain, f0, q), rel=0.03)


def test_input_filters() -> None:
    delay = put_on_bench(APPLICATION_DELAY)
    assert filter_figures(delay, "IN", delay.chips[0].net("15")) == pytest.approx(
        (1.0, 7.34e3, 1.11), rel=0.04
    )
    echo = put_on_bench(APPLICATION_ECHO)
    gain, f0, q = filter_figures(echo, "IN", echo.chips[0].net("15"))
    assert (gain, f0) == pytest.approx((0.667, 10.8e3), rel=0.04)
    assert 0.70 < q < 0.81


@pytest.mark.parametrize(("position", "delay_ms"), [(0.0, 144.3), (10.0, 373.5)])
def test_delay_range(position: float, delay_ms: float) -> None:
    """10 to 30 kohm: 144 to 373 ms by the fitted law, which differs from the table by up to 4 ms."""
    bench = put_on_bench(APPLICATION_ECHO, TIME=position)
    assert bench.delays_s[0] * 1e3 == pytest.approx(delay_ms, abs=4.1)


def test_unequal_integrators_make_the_published_shelf() -> None:
    """47 nF beside 100 nF: a shelf of 6.5 dB, its corners where 4.7 kohm meets each (published
    measurement, 2021).
    """
    frequency = np.array([20.0, 20e3])
    plain = put_on_bench(APPLICATION_DELAY).loop(0.0, frequency)
    for coder, decoder, shelf_db in (("47n", "100n", -6.5), ("100n", "47n", 6.5)):
        text = APPLICATION_DELAY.replace("C4 100n", f"C4 {coder}").replace("C5 100n", f"C5 {decoder}")
        loop = put_on_bench(text).loop(0.0, frequency)
        change = np.abs(loop.c[:, 0] * loop.b[:, 0] / (plain.c[:, 0] * plain.b[:, 0]))
        assert 20 * np.log10(change[1] / change[0]) == pytest.approx(shelf_db, abs=0.15)
