"""Bands against intervals by hand, against chance drawn elsewhere, and against themselves."""

import random

import numpy as np
import pytest

from pedalwright import circuits, read_text
from pedalwright.analysis.voltages import resting_bands
from pedalwright.analysis.voltages.spreads import Draws

from .circuits_in_hand import DIVIDER, package

INFINITE = float("inf")


def test_a_divider_of_two_five_per_cent_parts_stays_in_its_exact_interval() -> None:
    """R2/(R1+R2) is monotone in both, so its ends are at the corners: 0.95/2 and 1.05/2."""
    found = resting_bands(read_text(DIVIDER), measured={"V": 1.0})
    column = found.volts[:, found.nets.index("A")]
    assert column.min() >= 0.475 and column.max() <= 0.525
    # A thousand builds come close to the corners, too.
    assert column.min() < 0.478 and column.max() > 0.522
    assert found.bands["A"].typical_v == pytest.approx(0.5, rel=1e-9)
    assert found.used == found.asked == 1000


def test_the_spread_is_that_of_evenly_drawn_parts() -> None:
    """dV = (t2 - t1)/4 with both even over 5 %: deviation 0.05 sqrt(2)/(4 sqrt(3)); and as NumPy draws it."""
    found = resting_bands(read_text(DIVIDER), measured={"V": 1.0}, builds=4000)
    expected = 0.05 * np.sqrt(2 / 3) / 4
    assert found.bands["A"].deviation_v == pytest.approx(expected, rel=0.04)
    other = np.random.default_rng(99).uniform(0.95, 1.05, (2, 200_000))
    assert expected == pytest.approx(float((other[1] / other.sum(axis=0)).std()), rel=0.01)


def test_a_linear_circuit_scales_with_the_measured_supply() -> None:
    analysis = read_text(DIVIDER.replace("1V wall", "9V wall"))
    nine = resting_bands(analysis, measured={"V": 9.0}).bands["A"]
    low = resting_bands(analysis, measured={"V": 8.53}).bands["A"]
    for name in ("low_v", "typical_v", "high_v", "deviation_v"):
        assert getattr(low, name) == pytest.approx(getattr(nine, name) * 8.53 / 9, rel=1e-9)


def test_a_supply_that_was_not_measured_lies_in_its_range() -> None:
    stated = resting_bands(read_text(DIVIDER.replace("1V wall", "9V battery 7V..9.6V"))).bands["V"]
    # The battery's own 2 ohm take next to nothing here.
    assert 7.0 - 0.01 < stated.low_v < 7.05 and 9.55 < stated.high_v < 9.6
    usual = resting_bands(read_text(DIVIDER.replace("1V wall", "9V battery"))).bands["V"]
    assert usual.low_v < 7.1 and usual.high_v > 9.5
    analysis = read_text(DIVIDER.replace("1V wall", "9V battery"))
    measured = resting_bands(analysis, measured={"V": 8.2}).bands["V"]
    assert [measured.low_v, measured.high_v] == pytest.approx([8.2, 8.2])


def test_a_build_has_one_supply_for_all_its_nets() -> None:
    """Were every net drawn by itself, the ratio of half supply to supply would spread as both do."""
    found = resting_bands(package("lantern-echo"))
    ratio = found.volts[:, found.nets.index("VB")] / found.volts[:, found.nets.index("VA")]
    assert ratio.std() < 0.01 and found.bands["VA"].deviation_v / found.bands["VA"].typical_v > 0.02


def test_a_regulator_spreads_as_its_sheet_allows_and_may_be_measured() -> None:
    analysis = package("lantern-echo")
    free = resting_bands(analysis).bands["V5"]
    # 78L05: 4.8 to 5.2 V (its sheet, from memory); the load takes a few millivolts.
    assert 4.78 < free.low_v < 4.82 and 5.18 < free.high_v < 5.2
    held = resting_bands(analysis, measured={"V5": 4.97}).bands["V5"]
    assert held.typical_v == pytest.approx(4.97, abs=1e-4)
    assert held.high_v - held.low_v < 0.01


def test_the_same_seed_builds_the_same_and_another_seed_does_not() -> None:
    one, same, other = (resting_bands(package("plumtree-fuzz"), builds=200, seed=seed) for seed in (3, 3, 4))
    assert np.array_equal(one.volts, same.volts)
    assert not np.allclose(one.volts[1:], other.volts[1:])
    assert np.allclose(one.volts[0], other.volts[0])


@pytest.mark.parametrize("name", ["lantern-echo", "plumtree-fuzz", "gatepost-buffer"])
def test_the_order_of_the_text_changes_nothing(name: str) -> None:
    lines = circuits.text(name).splitlines()
    walks = [line for line in lines if ">" in line and not line.startswith(("#", "about"))]
    others = [line for line in lines if line not in walks and not line.startswith("section")]
    random.Random(7).shuffle(walks)
    shuffled = resting_bands(read_text("\n".join([*others, *walks])), builds=100).bands
    plain = resting_bands(package(name), builds=100).bands
    named = [net for net in plain if "~" not in net]
    assert len(named) > 3
    for net in named:
        assert shuffled[net].low_v == pytest.approx(plain[net].low_v, abs=1e-6)
        assert shuffled[net].high_v == pytest.approx(plain[net].high_v, abs=1e-6)


def test_the_first_build_is_the_circuit_as_written() -> None:
    for name in ("duckpond-chorus", "gatepost-buffer", "kilnhouse-drive"):
        analysis = package(name)
        found = resting_bands(analysis, builds=20)
        for net, band in found.bands.items():
            assert band.typical_v == pytest.approx(analysis.rest.volts(net), abs=1e-6)
            assert band.low_v <= band.typical_v <= band.high_v


def test_a_part_measured_in_hand_does_not_spread() -> None:
    """A JFET whose two figures are written has them in every build; one without them spreads a good deal."""
    text = circuits.text("gatepost-buffer")
    measured = text.replace("2N5457", "2N5457 idss=3mA vp=-3V")
    assert measured != text
    free = resting_bands(read_text(text), measured={"VIN": 9.0}).bands["~Q1.s"]
    held = resting_bands(read_text(measured), measured={"VIN": 9.0}).bands["~Q1.s"]
    assert held.high_v - held.low_v < 0.2 * (free.high_v - free.low_v)


def test_draws_depend_on_their_name_alone_and_stay_in_bounds() -> None:
    few, many = Draws(5, 10), Draws(5, 1000)
    assert np.array_equal(few.even("R1"), many.even("R1")[:10])
    assert not np.array_equal(many.even("R1"), many.even("R2"))
    assert many.even("R1")[0] == 0.0 and np.abs(many.even("R1")).max() <= 1.0
    factors = many.factor("Q1", 2.0)
    assert factors[0] == 1.0 and 0.5 <= factors.min() < 0.51 and 1.99 < factors.max() <= 2.0


@pytest.mark.parametrize("builds", [0, 1, 20_001])
def test_a_number_of_builds_that_cannot_be_is_refused(builds: int) -> None:
    with pytest.raises(ValueError, match="builds"):
        resting_bands(read_text(DIVIDER), builds=builds)


@pytest.mark.parametrize(
    ("measured", "match"),
    [
        ({"A": 0.5}, "neither a supply"),
        ({"NOPE": 1.0}, "no net"),
        ({"V": 1e9}, "cannot be"),
        ({"V": INFINITE}, "cannot be"),
    ],
)
def test_a_measured_voltage_that_cannot_be_given_is_refused(measured: dict[str, float], match: str) -> None:
    with pytest.raises(ValueError, match=match):
        resting_bands(read_text(DIVIDER), measured=measured)
