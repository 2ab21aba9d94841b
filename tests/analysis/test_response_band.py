"""Tolerance bands of responses: against closed-form distributions, and against builds solved one by one."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy import integrate, optimize, stats

from pedalwright import circuits, read_text
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.naming_nets import NetMistake
from pedalwright.analysis.response_band import bands
from pedalwright.analysis.response_band.bands import banded, response_band
from pedalwright.analysis.response_band.builds import Builds, capacitances
from pedalwright.analysis.response_band.records import BandRefused, LevelBand
from pedalwright.analysis.response_table import Asked, response_table
from pedalwright.analysis.voltages.bands import build_many
from pedalwright.analysis.voltages.spreads import SEED, Draws
from pedalwright.circuit.primitives import Capacitance, Primitive, Resistance
from pedalwright.devices.ports import INPUT
from pedalwright.solve.answer import answer_many
from pedalwright.solve.linear import linearise
from pedalwright.solve.response import Drive, drive_vector, respond
from pedalwright.solve.rest import operating_point
from pedalwright.solve.system import compile_system

OHMS, FARADS, R_SHARE, C_SHARE = 4700.0, 33e-9, 0.01, 0.10
FILTER = """pedal Filter
input IN 100 1V
output OUT 1G
IN > R1 4700 > OUT > C1 33n > gnd
"""
AROUND_CORNER = Asked(low_hz=500.0, high_hz=2000.0, points=101)
CORNER_HZ = 1 / (2 * math.pi * OHMS * FARADS)
FEW = Asked(points=31)


def share_below(ratio: float) -> float:
    """The share of builds whose RC is below `ratio` times the written one: both evenly spread (SciPy)."""

    def given(r: float) -> float:
        return float(stats.uniform.cdf(ratio / r, 1 - C_SHARE, 2 * C_SHARE)) / (2 * R_SHARE)

    return float(integrate.quad(given, 1 - R_SHARE, 1 + R_SHARE, limit=200)[0])


def quantile(share: float) -> float:
    """The ratio of RC that `share` of the builds stay below."""
    low, high = (1 - R_SHARE) * (1 - C_SHARE), (1 + R_SHARE) * (1 + C_SHARE)
    return float(optimize.brentq(lambda ratio: share_below(ratio) - share, low, high))


def within_chance(share: float, builds: int) -> tuple[float, float]:
    """Between which shares the one counted in so many builds lies, 999 times of 1000 (binomial, SciPy)."""
    low, high = stats.binom.ppf([0.0005, 0.9995], builds, share) / builds
    return float(low), float(high)


def half_power_hz(frequency_hz: np.ndarray, level_db: np.ndarray) -> float:
    """Where a falling level passes half its power, 3.0103 dB down."""
    return float(np.interp(10 * math.log10(2.0), -level_db, frequency_hz))


def test_the_corners_of_an_rc_low_pass_spread_as_the_product_of_its_values_does() -> None:
    """f = 1/(2 pi R C): the level 5 % of the builds stay below belongs to the RC that 95 % stay below."""
    builds = 4000
    band = response_band(read_text(FILTER), asked=AROUND_CORNER, builds=builds)
    for level_db, share in ((band.low_db, 0.95), (band.median_db, 0.5), (band.high_db, 0.05)):
        found = half_power_hz(band.frequency_hz, level_db)
        least, most = (quantile(end) for end in within_chance(share, builds))
        # A straight line between points a seventieth of an octave apart is off by less than 1e-5.
        assert CORNER_HZ / most * (1 - 1e-4) < found < CORNER_HZ / least * (1 + 1e-4)


def test_the_band_lies_within_the_worst_case_and_covers_most_of_it() -> None:
    """The worst case of one RC is at its vertices, for its corner is monotone in both values."""
    band = response_band(read_text(FILTER), asked=AROUND_CORNER)
    worst = [CORNER_HZ / ((1 + side * R_SHARE) * (1 + side * C_SHARE)) for side in (1, -1)]
    found = [half_power_hz(band.frequency_hz, level) for level in (band.low_db, band.high_db)]
    assert worst[0] < found[0] < CORNER_HZ < found[1] < worst[1]
    # 90 % of an even spread is 90 % of its width; the resistor adds little to the capacitor's.
    assert 0.75 < (found[1] - found[0]) / (worst[1] - worst[0]) < 0.95


def test_smaller_tolerances_bring_the_band_to_the_curve() -> None:
    """The limit of no tolerance is the curve as written."""
    exact = read_text(FILTER.replace("4700", "4700 (0.0001%)").replace("33n", "33n (0.0001%)"))
    band, table = response_band(exact, asked=FEW), response_table(exact, asked=FEW)
    # RC may be off by 2e-6, a level then by 8.7 dB times that.
    assert band.low_db == pytest.approx(table.level_db, abs=1.8e-5)
    assert band.high_db == pytest.approx(table.level_db, abs=1.8e-5)


def changed(primitive: Primitive, values: dict[str, float]) -> Primitive:
    """A primitive with its values in one build, by the names builds have for them."""
    if isinstance(primitive, Resistance) and primitive.name in values:
        return replace(primitive, ohms=values[primitive.name])
    if isinstance(primitive, Capacitance) and primitive.name in values:
        return replace(primitive, farads=values[primitive.name])
    if primitive.name in values:
        return replace(primitive, dc_v=values[primitive.name])  # type: ignore[call-arg]
    own = {
        name.rpartition(".")[2]: value
        for name, value in values.items()
        if name[: name.rfind(".")] == primitive.name
    }
    return replace(primitive, **own) if own else primitive  # type: ignore[arg-type]


@pytest.mark.parametrize("name", ["plumtree-fuzz", "gatepost-buffer", "lesson-emitter-follower"])
def test_each_build_is_the_circuit_compiled_anew_with_its_values(name: str) -> None:
    """Three builds with transistors, each compiled, brought to rest and made linear by itself."""
    analysis = read_text(circuits.text(name))
    people = build_many(analysis, {}, builds=4, seed=SEED)
    builds = Builds(
        people=people, changes={**people.versions.changes, **capacitances(analysis, Draws(SEED, 4))}
    )
    assert analysis.small is not None and analysis.circuit.output is not None
    frequency_hz, drive = np.geomspace(20, 20e3, 7), Drive(source=INPUT)
    s = np.asarray(2j * np.pi * frequency_hz)
    variants = builds.linear(analysis.small, slice(0, 4))
    x, _ = answer_many(analysis.small, variants, drive_vector(analysis.small, drive), s)
    for build in range(4):
        values = {key: float(array[build]) for key, array in builds.changes.items()}
        system = compile_system([changed(one, values) for one in analysis.primitives])
        alone = respond(linearise(system, operating_point(system)), drive, frequency_hz, open_delays=True)
        row = analysis.small.row(analysis.circuit.output.net)
        assert x[build, row] == pytest.approx(alone.volts(analysis.circuit.output.net), rel=1e-5)


CIRCUITS = sorted(circuits.names())


@pytest.mark.parametrize("name", CIRCUITS)
def test_every_package_circuit_has_its_curve_in_its_band_or_is_told_where_not(name: str) -> None:
    analysis = read_text(circuits.text(name))
    table = banded(response_table(analysis, asked=FEW), analysis, asked=FEW)
    band = table.band
    assert isinstance(band, LevelBand)
    assert band.certified_share >= 0.95
    assert np.all(band.low_db <= band.median_db) and np.all(band.median_db <= band.high_db)
    outside = np.abs(band.beyond_db(table.level_db)).max() > 0.05
    assert outside == any(
        "outside its own band" in note or "its own band, by" in note for note in table.notes
    )
    # Notches that field-effect transistors tune lie elsewhere in nearly every build.
    assert not outside or name == "ferryman-phaser"


def same(first: LevelBand, second: LevelBand) -> bool:
    return np.array_equal(first.low_db, second.low_db) and np.array_equal(first.high_db, second.high_db)


def test_the_seed_makes_the_band_and_the_order_of_the_text_does_not() -> None:
    first = response_band(read_text(FILTER), asked=FEW)
    assert same(first, response_band(read_text(FILTER), asked=FEW))
    assert not same(first, response_band(read_text(FILTER), asked=FEW, seed=SEED + 1))
    more = FILTER.replace("IN > R1", "IN > R9 10k > gnd\nIN > R1")
    other = response_band(read_text(more), asked=FEW)
    assert other.low_db == pytest.approx(first.low_db, abs=1e-9)
    assert "seed 5" in first.name and "400 builds" in first.conditions[0]


FOLLOWER = """pedal Follower
supply VA 9V wall
input IN 1k 1V
output OUT 10k
part U1 opamp TL071 v+=VA v-=gnd
VA > R1 100k > U1.non > R2 100k > gnd
IN > C1 1u > gnd
U1.inv > U1.out > OUT > R5 4700 > FAR > C5 33n > gnd
VA > R3 4700 > SIDE > C3 33n > gnd
"""


@pytest.mark.parametrize(("start", "end", "parts"), [("OUT", "FAR", "R5 C5"), ("VA", "SIDE", "R3 C3")])
def test_from_any_net_it_is_driven_as_the_response_is(start: str, end: str, parts: str) -> None:
    """An amplifier's output is driven in its place, a supply's net by the supply; either way it is one RC."""
    circuit = read_text(FOLLOWER)
    band = response_band(circuit, from_net=start, to_net=end, asked=AROUND_CORNER)
    resistor, capacitor = parts.split()
    draws = Draws(SEED, 400)
    tau = OHMS * draws.share(resistor, R_SHARE) * FARADS * draws.share(capacitor, C_SHARE)
    level_db = -10 * np.log10(1 + (2 * np.pi * AROUND_CORNER.frequencies() * tau[:, None]) ** 2)
    assert band.median_db == pytest.approx(np.percentile(level_db, 50, axis=0), abs=1e-3)
    assert band.low_db == pytest.approx(np.percentile(level_db, 5, axis=0), abs=1e-3)


def test_builds_without_a_certificate_are_refused_together(monkeypatch: pytest.MonkeyPatch) -> None:
    circuit = read_text(FILTER)
    monkeypatch.setattr(bands, "RESIDUAL_BOUND", -1.0)
    with pytest.raises(BandRefused, match="only 0 of 400 builds could be certified from IN to OUT"):
        response_band(circuit, asked=FEW)


@pytest.mark.parametrize(("left_out", "told"), [(20, True), (21, False)])
def test_up_to_one_build_in_twenty_may_be_left_out(
    monkeypatch: pytest.MonkeyPatch, left_out: int, told: bool
) -> None:
    def some_fail(*given: object) -> tuple[np.ndarray, np.ndarray]:
        x, residual = answer_many(*given)  # type: ignore[arg-type]
        residual[:left_out] = 1.0
        return x, residual

    monkeypatch.setattr(bands, "answer_many", some_fail)
    if told:
        band = response_band(read_text(FILTER), asked=FEW)
        assert band.certified == 380
        assert "380 certified, and the others left out" in band.conditions[0]
    else:
        with pytest.raises(BandRefused, match="only 379 of 400"):
            response_band(read_text(FILTER), asked=FEW)


@pytest.mark.parametrize("builds", [0, 19, 20_001])
def test_numbers_of_builds_that_cannot_be(builds: int) -> None:
    with pytest.raises(ValueError, match="20 to 20000 builds"):
        response_band(read_text(FILTER), builds=builds)


def test_nets_that_are_none_and_silence() -> None:
    with pytest.raises(NetMistake):
        response_band(read_text(FILTER), to_net="out")
    quiet: Analysis = read_text("input IN line\nIN > R1 1k > gnd\nA > R2 1k > gnd\n")
    with pytest.raises(BandRefused, match="no signal from IN arrives at A"):
        response_band(quiet, to_net="A")
