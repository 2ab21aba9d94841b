"""Many builds of one loop: each held to its own plain solution, and the whole to what the spread must
give.
"""

from dataclasses import replace

import numpy as np
import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.echo.builds import DEVIATIONS, build_many, chip_gains
from pedalwright.echo.elimination import plan
from pedalwright.echo.figures import value
from pedalwright.echo.stability import runaway
from pedalwright.echo.tolerance import tolerance_of, tolerances
from pedalwright.notation import read_text
from tests.echo.circuits import APPLICATION_ECHO, Bench, put_on_bench

BENCH = put_on_bench(APPLICATION_ECHO, REPEATS=5.0)


def shares(bench: Bench, knob: str) -> dict[str, float]:
    analysis = bench.analysis
    known = bench.cut.small.names
    return dict(tolerances(analysis.circuit.parts, analysis.primitives, known, knob))


def test_tolerances_come_from_the_text_or_the_trade() -> None:
    text = APPLICATION_ECHO.replace("R1 15k", "R1 15k (5%)").replace("C5 82n", "C5 82n (film)")
    parts = read_text(text).by_ref
    assert tolerance_of(parts["R1"]) == 0.05
    assert tolerance_of(parts["R3"]) == 0.01
    assert tolerance_of(parts["C5"]) == 0.10
    assert tolerance_of(parts["C90"]) == 0.20
    assert tolerance_of(parts["REPEATS"]) == 0.20
    assert tolerance_of(parts["U1"]) is None


def test_without_any_spread_of_parts_the_builds_differ_by_the_chip_alone() -> None:
    """A knob that needs the gain g runs away where the chip has it: so the share follows the normal law."""
    circuit, track = BENCH.with_knob("REPEATS")
    found = build_many(circuit, track, {}, count=4000, seed=3)
    full = runaway(circuit, track, BENCH.gains(0.0), BENCH.delays_s).full.gain
    needed_db = -20 * np.log10(full)
    deviation = (value("most_through_gain_db") - value("through_gain_db")) / DEVIATIONS
    from scipy.stats import norm

    wanted = norm.sf((needed_db - value("through_gain_db")) / deviation)
    assert found.runs_away == pytest.approx(wanted, abs=4 * np.sqrt(wanted / 4000))
    assert found.misfit < 1e-10


def test_the_makers_largest_gain_lies_three_deviations_out() -> None:
    """Our assumption, for the maker gives a typical and a largest gain only."""
    level_db = 20 * np.log10(chip_gains(200_000, 1, np.random.default_rng(1)))
    assert np.median(level_db) == pytest.approx(-0.5, abs=0.02)
    assert (level_db > 2.5).mean() == pytest.approx(0.00135, abs=0.0004)


def test_the_same_seed_builds_the_same() -> None:
    circuit, track = BENCH.with_knob("REPEATS")
    once, again = (build_many(circuit, track, shares(BENCH, "REPEATS"), count=60, seed=9) for _ in range(2))
    np.testing.assert_array_equal(once.position, again.position)


def test_every_build_is_that_circuit_solved_anew() -> None:
    """One capacitor, one resistor and the track far off: the knob's place against a circuit written so."""
    text = APPLICATION_ECHO.replace("R9 5k6", "R9 3k3").replace("C3 560p", "C3 470p")
    circuit, track = BENCH.with_knob("REPEATS")
    small = circuit.small
    names = {"R9": 3300.0, "C3": 470e-12}
    variants = small.changed({name: np.array([new]) for name, new in names.items()})
    moved = circuit.corner(np.geomspace(50, 15e3, 60), variants)
    fresh = put_on_bench(text, REPEATS=5.0).cut.corner(np.geomspace(50, 15e3, 60))
    gains = BENCH.gains(0.0)[None]
    np.testing.assert_allclose(moved.ways(gains), fresh.ways(gains), rtol=1e-9)
    for position in (0.0, 3.3, 10.0):
        turned = replace(put_on_bench(text, REPEATS=position)).cut.corner(np.geomspace(50, 15e3, 60))
        found = moved.ways(gains, track.grown(position)[None])
        np.testing.assert_allclose(found, turned.ways(gains), rtol=1e-8)


def test_elimination_refuses_a_circuit_that_has_no_solution() -> None:
    analysis = Analysis(read_text("pedal X\nsupply V 5V wall\nV > R1 1k > A > R2 1k > gnd\n"), "")
    assert analysis.small is not None
    dead = replace(analysis.small, g=np.zeros_like(analysis.small.g))
    with pytest.raises(np.linalg.LinAlgError):
        plan(dead, np.ones((dead.size, 1)), np.ones((1, dead.size)))


def test_spread_only_widens() -> None:
    circuit, track = BENCH.with_knob("REPEATS")
    narrow = build_many(circuit, track, {}, count=500, seed=4)
    wide = build_many(circuit, track, shares(BENCH, "REPEATS"), count=500, seed=4)
    widths = [many.margin_percentiles()[2] - many.margin_percentiles()[0] for many in (narrow, wide)]
    assert widths[1] > widths[0] > 2.5
