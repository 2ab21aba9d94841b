"""The chip at its time resistance, as solved in a circuit.

Sources: the maker's data sheet, Echo Processor IC, V1.6, February 2010, table 1 (page 4) and section of
limits (page 5); an independent sweep of a real chip, 2009, and spot checks, 2021, both published on one
builder's pages; T. Wiltshire, Useful design equations, 2015. Facts of the trade are marked where they
stand.
"""

import numpy as np
import pytest

from pedalwright.echo import delay_law
from pedalwright.echo.chip import ChipState, Start, chip_state, time_pin
from pedalwright.echo.figures import MARKED, Mark, value
from tests.echo.circuits import CHIP, put_on_bench

# R [ohm], clock [MHz], delay [ms], distortion [%]; typed off the data sheet once more.
TABLE = """
27600 2.0 342 1.0      21300 2.5 273 0.8      17200 3.0 228 0.63     14300 3.5 196 0.53
12100 4.0 171 0.46     10500 4.5 151 0.41     9200 5.0 136.6 0.36    8200 5.5 124.1 0.33
7200 6.0 113.7 0.29    6400 6.5 104.3 0.27    5800 7.0 97.1 0.25     5400 7.5 92.2 0.25
4900 8.0 86.3 0.23     4500 8.5 81 0.22       4000 9.0 75.9 0.21     3400 10 68.1 0.19
2800 11 61.6 0.18      2400 12 56.6 0.16      2000 13 52.3 0.15      1670 14 48.1 0.15
1470 15 45.8 0.15      1280 16 43 0.15        1080 17 40.6 0.14      894 18 38.5 0.14
723 19 36.6 0.14       519 20 34.4 0.13       288 21 32.6 0.13       0.5 22 31.3 0.13
"""
ROWS = [tuple(row) for row in np.array(TABLE.split(), dtype=float).reshape(-1, 4).tolist()]
AROUND = "U1.9 > C1 100n > U1.10\nU1.11 > C2 100n > U1.12\n"


def solved(time: str, supply: str = "5V") -> ChipState:
    text = f"pedal One chip\n{CHIP.replace('V5 5V', f'V5 {supply}')}{AROUND}{time}\n"
    analysis = put_on_bench(text).analysis
    return chip_state(analysis.circuit.by_ref["U1"], analysis.rest, analysis.primitives)


def test_the_table_has_all_rows() -> None:
    assert len(ROWS) == 28


@pytest.mark.parametrize("row", ROWS, ids=[f"{row[0]:g} ohm" for row in ROWS])
def test_every_row_of_the_makers_table(row: tuple[float, ...]) -> None:
    ohms, clock_mhz, delay_ms, distortion = row
    found = solved(f"U1.6 > R1 {ohms:g} > gnd")
    assert found.time_ohms == pytest.approx(ohms, rel=1e-6)
    assert found.delay_s == pytest.approx(delay_ms / 1e3, rel=1e-6)
    assert found.clock_hz == pytest.approx(clock_mhz * 1e6, rel=1e-6)
    assert found.distortion_percent == pytest.approx(distortion, rel=1e-6)
    assert found.within_table


def test_an_independent_sweep_lies_within_the_spread_of_chips() -> None:
    ohms = np.linspace(1e3, 100e3, 100)
    measured_s = (11.84 * ohms / 1e3 + 29.81) / 1e3
    assert np.abs(delay_law.delay_s(ohms) / measured_s - 1).max() <= value("unit_spread")


@pytest.mark.parametrize(("ohms", "delay_ms"), [(0.5, 30), (4.7e3, 81), (10e3, 147), (22e3, 280)])
def test_spot_checks_lie_within_the_spread_of_chips(ohms: float, delay_ms: float) -> None:
    found = solved(f"U1.6 > R1 {ohms:g} > gnd")
    assert found.low_s <= delay_ms / 1e3 <= found.high_s


def test_beyond_the_table_is_said_and_follows_the_fitted_law() -> None:
    found = solved("U1.6 > R1 100k > gnd")
    assert not found.within_table
    assert found.delay_s == pytest.approx((11.46 * 100 + 29.70) / 1e3, rel=1e-6)
    assert any("beyond the maker's table" in remark for remark in found.remarks)


def test_the_delay_never_jumps_and_never_falls_with_resistance() -> None:
    ohms = np.geomspace(0.1, 200e3, 20_001)
    step = np.diff(delay_law.delay_s(ohms))
    assert step.min() >= 0
    assert step.max() < 1.2 * 11.84e-6 * np.diff(ohms).max()


def test_only_the_current_counts() -> None:
    """Whatever draws as much as a resistor makes the same delay as that resistor."""
    resistor = solved("U1.6 > R1 10k > gnd")
    split = solved("U1.6 > R1 20k || R2 20k > gnd")
    assert split.delay_s == pytest.approx(resistor.delay_s, rel=1e-9)
    # By Ohm's law, from 2.5 V behind 2.59 kohm: half a volt behind 10 kohm draws less.
    lifted = solved("supply V0 0.5V wall\nU1.6 > R1 10k > V0")
    half, inner = 2.5, value("time_pin_ohms")
    amperes = (half - 0.5) / (inner + 10e3)
    assert lifted.time_pin_a == pytest.approx(amperes, rel=1e-3)
    assert lifted.time_ohms == pytest.approx(half / amperes - inner, rel=1e-3)


def test_a_transistor_on_the_pin() -> None:
    found = solved("part Q1 npn 2N3904\nU1.6 > R1 2k2 > Q1.c\nQ1.e > gnd\nV5 > R2 47k > Q1.b")
    assert 2.2e3 < found.time_ohms < 2.5e3
    assert found.delay_s < 0.058


def test_an_open_pin_stops_the_clock() -> None:
    found = solved("V5 > R1 10k > gnd")
    assert not np.isfinite(found.delay_s)
    assert "no current" in found.remarks[0]


@pytest.mark.parametrize(
    ("time", "start"),
    [("680", Start.FAILS), ("1k5", Start.RISKY), ("2k2", Start.SURE)],
)
def test_lock_up(time: str, start: Start) -> None:
    """Below 1 kohm: data sheet, note 5; 2 kohm: common practice, no source."""
    assert solved(f"U1.6 > R1 {time} > gnd").start is start


def test_supply_limits_are_told() -> None:
    assert solved("U1.6 > R1 10k > gnd").remarks == ()
    assert "4.5 to 5.5 V" in solved("U1.6 > R1 10k > gnd", "4.2V").remarks[0]
    assert "6.5 V" in solved("U1.6 > R1 10k > gnd", "9V").remarks[0]


def test_the_supply_widens_the_spread_as_measured() -> None:
    """4.6 V: at most 7 ms, 5.4 V: 8 ms off (measurements on a tempo module, 2025)."""
    nominal = solved("U1.6 > R1 10k > gnd")
    for supply, shift in (("4.6V", 7e-3), ("5.4V", 8e-3)):
        found = solved("U1.6 > R1 10k > gnd", supply)
        assert found.delay_s == pytest.approx(nominal.delay_s, rel=1e-6)
        assert found.high_s - nominal.high_s == pytest.approx(shift, abs=1e-5)


def test_noise_rises_with_delay_as_measured() -> None:
    """Typical -90 dBV at 171 ms (data sheet); some 27 dB from 52 to 600 ms (measured, read off a plot)."""
    assert float(delay_law.noise_dbv(171e-3)) == pytest.approx(-90)
    rise = 26.0 * np.log10(0.6 / 0.171)
    assert float(delay_law.noise_dbv(0.6)) == pytest.approx(-90 + rise)
    assert float(delay_law.noise_dbv(0.031)) >= -95


def test_slope_limit_and_clean_treble() -> None:
    """0.0105 V/us at 100 nF; 0.35 V peak clean to 4.8 kHz, 1 V to 1.7 kHz (published measurements, 2021)."""
    slope = delay_law.slope_v_per_s(100e-9)
    assert slope == pytest.approx(10.5e3)
    assert delay_law.highest_clean_hz(slope, 0.35) == pytest.approx(4.8e3, rel=0.01)
    assert delay_law.highest_clean_hz(slope, 1.0) == pytest.approx(1.7e3, rel=0.02)


def test_facts_of_the_trade() -> None:
    """Common practice, no source: shortest delay about 30 ms; 50 kohm knob behind 1 to 3 kohm makes about
    45 to 60 ms up to 600 to 640 ms; the time pin stands near half the supply at long delays; clean to
    about 300 ms, used to 600 or 800 ms, ugly past a second; 5 V supply, damage at 6.5 V.
    """
    assert float(delay_law.delay_s(0.5)) == pytest.approx(0.030, rel=0.05)
    ends = delay_law.delay_s([1e3, 3e3, 51e3, 53e3])
    assert 0.038 < ends[0] < ends[1] < 0.065
    assert 0.6 < ends[2] < ends[3] < 0.65
    assert solved("U1.6 > R1 50k > gnd").time_pin_v == pytest.approx(2.5, rel=0.06)
    assert (value("clean_delay_s"), value("ugly_delay_s")) == (0.3, 1.0)
    assert 0.6 <= value("useful_delay_s") <= 0.8
    assert (value("nominal_supply_v"), value("destructive_supply_v")) == (5.0, 6.5)
    assert any("ugly" in remark for remark in solved("U1.6 > R1 100k > gnd").remarks)


def test_every_figure_says_what_it_rests_on() -> None:
    assert all(figure.source and isinstance(figure.mark, Mark) for figure in MARKED.values())
    assert {figure.mark for figure in MARKED.values()} >= {
        Mark.DATA_SHEET,
        Mark.MEASUREMENT,
        Mark.COMMON_PRACTICE,
    }


def test_many_rest_points_are_read_as_one() -> None:
    bench = put_on_bench(f"pedal One chip\n{CHIP}{AROUND}U1.6 > R1 10k > gnd\n")
    from pedalwright.solve.rest import operating_points

    ohms = np.array([2e3, 10.5e3, 27.6e3])
    points = operating_points(bench.analysis.system, {"R1": ohms}, nominal=bench.analysis.rest)
    found = time_pin(bench.chips[0], points)
    np.testing.assert_allclose(found.ohms, ohms, rtol=1e-6)
    np.testing.assert_allclose(found.delay_s, [52.3e-3, 151e-3, 342e-3], rtol=1e-6)
