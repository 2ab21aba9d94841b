"""What an echo loop adds to noise, against dense combs, averages over phases, and a simulation in time."""

import math
from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.signal import lfilter

from pedalwright import circuits, read_text
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.noise import noise_answers
from pedalwright.analysis.noise.bench import NoiseBench
from pedalwright.analysis.noise.loop import (
    LoopMistake,
    _summed,
    carried,
    chips_in_use,
    closed_powers,
    cut_loop,
    loop_peak,
    opened_powers,
)
from pedalwright.analysis.noise.picture import a_weights, conversion_v_per_rthz, picture
from pedalwright.echo.cut import cut
from pedalwright.echo.figures import value
from pedalwright.echo.loop import gain_from_db, loop_of
from pedalwright.solve.noise import power, reach

ComplexArray = NDArray[np.complex128]
OUT = "OUT"


@cache
def lantern(repeats: float = 10.0) -> NoiseBench:
    return NoiseBench(read_text(circuits.text("lantern-echo"), settings={"REPEATS": repeats}))


@cache
def reverb(decay: float = 10.0) -> NoiseBench:
    return NoiseBench(read_text(circuits.text("grainloft-reverb"), settings={"DECAY": decay}))


def random_loop(seed: int, chips: int, round_gain: float) -> tuple[ComplexArray, ComplexArray]:
    """C (1, N) and A (1, N, N) whose bound over all phases is below `round_gain`."""
    rng = np.random.default_rng(seed)
    a = rng.normal(size=(1, chips, chips)) + 1j * rng.normal(size=(1, chips, chips))
    a *= round_gain / np.linalg.norm(a[0], 2)
    return rng.normal(size=(1, chips)) + 1j * rng.normal(size=(1, chips)), a


def over_phases(c: ComplexArray, a: ComplexArray, count: int) -> ComplexArray:
    """G by brute force: the mean of r* r over a full grid of phases, one axis for each chip."""
    chips = a.shape[-1]
    axis = 2 * np.pi * np.arange(count) / count
    phases = np.stack(np.meshgrid(*[axis] * chips, indexing="ij"), axis=-1).reshape(-1, chips)
    late = np.exp(-1j * phases)
    matrix = np.eye(chips) - late[:, :, None] * a
    rows = np.linalg.solve(np.swapaxes(matrix, 1, 2), np.repeat(c[..., None], len(late), axis=0))[..., 0]
    r = rows * late
    return np.asarray(np.einsum("mi,mj->ij", r.conj(), r) / len(r))


@pytest.mark.parametrize("seed", range(5))
def test_one_chip_by_sets_of_passes_is_the_closed_form(seed: int) -> None:
    """1/(1 - |A|^2), the mean of 1/|1 - a exp(j theta)|^2 over a turn."""
    c, a = random_loop(seed, 1, 0.9)
    assert _summed(c, a, 0.9) == pytest.approx(closed_powers(c, a, 0.9), rel=1e-4)


@pytest.mark.parametrize(("chips", "round_gain", "count"), [(1, 0.9, 400), (2, 0.8, 128), (3, 0.5, 40)])
@pytest.mark.parametrize("seed", range(3))
def test_the_sum_over_passes_is_the_mean_over_phases(
    chips: int, round_gain: float, count: int, seed: int
) -> None:
    c, a = random_loop(seed, chips, round_gain)
    wanted = over_phases(c, a, count)
    assert closed_powers(c, a, round_gain)[0] == pytest.approx(
        wanted, rel=1e-4, abs=1e-4 * np.abs(wanted).max()
    )


def test_chips_that_do_not_feed_each_other_are_loops_of_their_own() -> None:
    a = np.diag([0.9, 0.5]).astype(np.complex128)[None]
    c = np.ones((1, 2), dtype=np.complex128)
    found = closed_powers(c, a, 0.9)[0]
    assert found == pytest.approx(np.diag([1 / (1 - 0.81), 1 / (1 - 0.25)]), rel=1e-4)


def test_at_nine_tenths_the_loop_adds_seven_decibels() -> None:
    """-10 log(1 - 0.81) = 7.2 dB."""
    a = np.full((1, 1, 1), 0.9, dtype=np.complex128)
    c = np.ones((1, 1), dtype=np.complex128)
    rise = closed_powers(c, a, 0.9)[0, 0, 0].real / opened_powers(c)[0, 0, 0].real
    assert 10 * math.log10(rise) == pytest.approx(7.21, abs=0.01)


def test_two_delays_simulated_in_time() -> None:
    """White noise into both of two delay lines that feed each other, sample by sample: the variance."""
    delays, length = (97, 151), 400_000
    a = np.array([[0.5, -0.4], [0.35, 0.45]])
    rng = np.random.default_rng(1)
    x = rng.normal(size=(2, length))
    w = np.zeros((2, length))
    step = min(delays)
    for at in range(0, length, step):
        end = min(at + step, length)
        for line, late in enumerate(delays):
            first = max(at, late)
            if first < end:
                past = slice(first - late, end - late)
                w[line, first:end] = x[line, past] + a[line] @ w[:, past]
    simulated = float(np.var(w.sum(axis=0)[10_000:]))
    c = np.ones((1, 2), dtype=np.complex128)
    whole = closed_powers(c, a[None].astype(np.complex128), 0.75)
    v = np.eye(2, dtype=np.complex128)[:, None, :]
    assert float(carried(v, whole).sum()) == pytest.approx(simulated, rel=0.03)


def test_one_delay_simulated_in_time() -> None:
    """y[n] = x[n] + 0.8 y[n - 50], by SciPy: variance 1/(1 - 0.64)."""
    x = np.random.default_rng(2).normal(size=400_000)
    y = lfilter([1.0], [1.0, *[0.0] * 49, -0.8], x)
    a = np.full((1, 1, 1), 0.8, dtype=np.complex128)
    found = closed_powers(np.ones((1, 1), dtype=np.complex128), a, 0.8)[0, 0, 0].real
    assert found == pytest.approx(float(np.var(y[10_000:])), rel=0.03)


@pytest.mark.parametrize("bench", [lantern(), reverb()], ids=["lantern-echo", "grainloft-reverb"])
def test_the_loop_is_the_one_of_the_echo_analysis(bench: NoiseBench) -> None:
    """A and C from transposed solutions against those of the cut circuit, solved forwards."""
    frequencies = np.geomspace(30.0, 15e3, 7)
    found, states = chips_in_use(bench)
    mine = cut_loop(bench, found, states, frequencies, reach(bench.small, {OUT: 1.0}, frequencies))
    circuit = cut(bench.small, found, input_net="IN", output_net=OUT)
    gains = np.full(len(found), gain_from_db(value("through_gain_db")))
    theirs = loop_of(circuit, np.array([one.delay_s for one in states]), gains, frequencies)
    assert mine.a == pytest.approx(theirs.a, rel=1e-6, abs=1e-9)
    assert mine.c == pytest.approx(theirs.c, rel=1e-6, abs=1e-9)


@pytest.mark.parametrize(
    ("bench", "low_hz", "high_hz"),
    [(lantern(), 300.0, 380.0), (lantern(), 1500.0, 1580.0), (reverb(), 200.0, 400.0)],
    ids=["lantern low", "lantern middle", "reverb"],
)
def test_the_mean_over_the_comb_is_that_of_a_dense_grid(
    bench: NoiseBench, low_hz: float, high_hz: float
) -> None:
    """Every tooth of the comb sampled (a fiftieth of a tooth apart) with the delays as they are."""
    found, states = chips_in_use(bench)
    delays = np.array([one.delay_s for one in states])
    count = int((high_hz - low_hz) * 50 * delays.sum()) // 2 * 2 + 1
    frequencies = np.linspace(low_hz, high_hz, count)
    out = reach(bench.small, {OUT: 1.0}, frequencies)
    loop = cut_loop(bench, found, states, frequencies, out)
    roots = np.sqrt(bench.sources.densities(frequencies))
    v = np.stack([one.of(bench.sources) for one in loop.coders], axis=2) * roots[..., None]
    h = out.of(bench.sources) * roots
    late = np.exp(-2j * np.pi * frequencies[:, None] * delays)
    matrix = np.eye(len(found)) - late[:, :, None] * loop.a
    w = np.linalg.solve(matrix[None], (late * v)[..., None])[..., 0]
    dense = float((np.abs(h + (loop.c * w).sum(axis=2)) ** 2).sum(axis=0).mean())
    peak = loop_peak(bench, found, states).gain
    mean = np.abs(h) ** 2 + carried(v, closed_powers(loop.c, loop.a, peak))
    opened = np.abs(h) ** 2 + carried(v, opened_powers(loop.c))
    assert float(mean.sum(axis=0).mean()) == pytest.approx(dense, rel=0.03)
    # The check can tell: the loop adds far more than that.
    assert float(opened.sum(axis=0).mean()) < 0.9 * dense


def test_the_build_up_told_is_closed_over_opened() -> None:
    told = noise_answers(lantern().analysis)
    assert told.loop is not None and told.loop.closed_v is not None and told.loop.buildup_db is not None
    assert told.loop.buildup_db == pytest.approx(20 * math.log10(told.loop.closed_v / told.loop.opened_v))
    assert told.loop.buildup_db > 0.5
    assert told.chosen is not None and told.chosen.weighted_v == pytest.approx(told.loop.closed_v)


def test_the_more_comes_back_the_more_it_hisses() -> None:
    levels = []
    for position in (0, 2, 4, 6, 8, 10):
        chosen = noise_answers(lantern(float(position)).analysis).chosen
        assert chosen is not None and chosen.weighted_v is not None
        levels.append(chosen.weighted_v)
    assert levels == sorted(levels)


def test_a_chip_at_pin_12_reads_what_is_published() -> None:
    """-90 dBV at 171 ms, A-weighted: white noise of that reading in the band, through the meter's curve."""
    frequencies = np.geomspace(20.0, 20e3, 181)
    density = conversion_v_per_rthz(-90.0) ** 2 * a_weights(frequencies)
    assert 10 * math.log10(float(power(frequencies, density))) == pytest.approx(-90.0, abs=1e-4)


def test_the_chip_is_heard_at_its_pin_as_loud_as_told() -> None:
    """At pin 12 itself, with nothing coming back, the conversion noise is the published one."""
    bench = lantern(0.0)
    chip = bench.analysis.circuit.by_ref["U2"]
    found = picture(bench, chip.net("12"))
    own = found.powers(found.opened, weighted=True)[-1]
    assert 10 * math.log10(own) == pytest.approx(found.chips[0].noise_dbv, abs=0.02)


def running_away() -> Analysis:
    """The echo with too little in the way back."""
    text = circuits.text("lantern-echo").replace("R17 30k", "R17 15k")
    return read_text(text, settings={"REPEATS": 10.0})


def test_a_loop_that_runs_away_says_so() -> None:
    told = noise_answers(running_away())
    assert not told.is_sound
    assert any("runs away" in refusal for refusal in told.refusals)
    assert told.loop is not None and told.loop.once_round >= 1.0
    assert told.loop.closed_v is None and told.loop.buildup_db is None
    assert told.contributors == () and told.cures == () and told.together is None
    assert all(one.weighted_v is None and one.unweighted_v is None for one in told.inputs)
    assert told.chips[0].output_v is None and len(told.density_v_per_rthz) == 0


def test_several_chips_that_could_run_away_say_so() -> None:
    text = circuits.text("grainloft-reverb").replace("DECAY 50k linear     at 5", "DECAY 50k linear at 10")
    for ref in ("R8 47k", "R15 47k"):
        assert ref in text
    bench = NoiseBench(read_text(text))
    found, states = chips_in_use(bench)
    assert loop_peak(bench, found, states).gain < 1.0
    louder = text.replace("R10 22k", "R10 39k").replace("R17 22k", "R17 39k")
    told = noise_answers(read_text(louder))
    assert any("can run away" in refusal for refusal in told.refusals)


def test_a_loop_too_near_to_running_away_is_refused() -> None:
    c, a = random_loop(3, 3, 0.9999)
    with pytest.raises(LoopMistake, match="too near"):
        closed_powers(c, a / np.abs(np.linalg.eigvals(a[0])).max() * 0.9999, 0.9999)


def test_a_clock_that_stands_still_is_told() -> None:
    text = circuits.text("lantern-echo").replace("U2.6 > R12 2k2 > TIME.1", "V5 > R12 2k2 > TIME.1")
    told = noise_answers(read_text(text.replace("TIME.2 > TIME.3 > gnd", "TIME.2 > TIME.3 > U2.6")))
    assert any("stands still" in refusal for refusal in told.refusals)
    assert all(one.weighted_v is None for one in told.inputs)
