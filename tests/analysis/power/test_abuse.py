"""Wrong supplies: what breaks, what survives, thanks to which part; against solutions by other means."""

from math import log, sqrt

import pytest
from scipy.optimize import brentq

from pedalwright import circuits
from pedalwright.analysis.power import AbuseCase, Strain, abuse, ratings
from pedalwright.analysis.power.bench import SUBSTRATE_A, SUBSTRATE_OHMS
from tests.analysis.power.circuits_by_hand import (
    BARE,
    CHIP,
    FUSED,
    SERIES_DIODE,
    SHUNT_DIODE,
    analysis,
)

THERMAL_V = 1.380649e-23 * 300.15 / 1.602176634e-19


def case(text: str, name: str) -> AbuseCase:
    found = next(one for one in abuse(analysis(text)) if one.name == name)
    assert found.certified
    return found


def strain(found: AbuseCase, ref: str, rating: str) -> Strain:
    return next(one for one in found.strains if one.ref == ref and rating in one.rating)


def junction_v(amps: float, saturation_a: float, emission: float, series_ohms: float) -> float:
    return emission * THERMAL_V * log(amps / saturation_a + 1.0) + amps * series_ohms


def test_a_bare_chip_on_a_reversed_supply_is_a_diode_across_it() -> None:
    found = case(BARE, "reversed")
    hit = strain(found, "U1", "reversed chip")
    expected = brentq(lambda amps: junction_v(amps, SUBSTRATE_A, 1.0, SUBSTRATE_OHMS) - 9.0, 1e-6, 10.0)
    assert hit.value == pytest.approx(expected, rel=1e-6)
    assert hit.factor == pytest.approx(expected / 0.05, rel=1e-6)
    assert found.survives is False and "U1" not in found.chips_alive
    # The capacitor across the supply stands 9 V backwards; sheets allow about 1 V (from memory).
    assert strain(found, "C1", "backwards").factor == pytest.approx(9.0)
    assert found.strains[0].ref == "C1" and found.strains[0].at_v == pytest.approx(-1.0, rel=1e-6)


def test_a_series_diode_saves_everything() -> None:
    found = case(SERIES_DIODE, "reversed")
    assert found.survives is True and found.strains == ()
    assert any(said.startswith("D1 blocks") for said in found.protected_by)
    assert found.chips_alive == ("U1",)
    # Of the supply's own current only what leaks is left.
    assert found.supply_a is not None and found.supply_a < 1e-4


def test_a_shunt_diode_saves_the_chip_and_heats_the_resistor() -> None:
    found = case(SHUNT_DIODE, "reversed")
    assert "U1" in found.chips_alive
    hit = strain(found, "R9", "heat")

    # 1N4001 card beside the chip's substrate diode, both behind 100 ohm.
    def excess(volts: float) -> float:
        shunt = brentq(lambda amps: junction_v(amps, 14.11e-9, 1.984, 33.89e-3) - volts, 1e-9, 1e3)
        chip = brentq(lambda amps: junction_v(amps, SUBSTRATE_A, 1.0, SUBSTRATE_OHMS) - volts, 1e-15, 1e3)
        return float((9.0 - volts) / 100.0 - shunt - chip)

    held_v = brentq(excess, 0.4, 1.2)
    # The chip's own current, 2.8 mA above 1 V, flows back a little too.
    assert hit.value == pytest.approx((9.0 - held_v) ** 2 / 100.0, rel=5e-3)
    assert hit.factor == pytest.approx(hit.value / 0.25)
    assert any(said.startswith("D1 conducts") for said in found.protected_by)
    # Nothing polarised stands backwards by more than the diode's voltage.
    assert not [one for one in found.strains if "backwards" in one.rating]


def test_a_fuse_blows_before_anything_breaks() -> None:
    found = case(FUSED, "reversed")
    blown = strain(found, "F1", "rated current")
    assert blown.blows and blown.factor > 10.0
    assert found.strains[0].ref == "F1"


def test_a_regulator_keeps_the_chip_alive_at_18_v() -> None:
    found = case(CHIP, "18 V")
    assert found.survives is True
    assert found.protected_by == ("U1 still holds 5 V",)
    assert found.chips_alive == ("U1", "U2")


def test_a_regulator_beyond_its_input_is_named() -> None:
    # ST L78L: 30 V at most; 36 V and 5 % above it.
    found = next(
        one for one in ratings(analysis(CHIP.replace("VIN 9V", "VIN 36V"))) if one.rating == "input voltage"
    )
    assert found.ref == "U1" and found.factor == pytest.approx(36 * 1.05 / 30, rel=1e-4)


def test_no_adaptor_below_the_pedal_s_own_voltage_is_tried() -> None:
    assert [one.name for one in abuse(analysis(CHIP.replace("VIN 9V", "VIN 18V")))] == [
        "reversed",
        "U1 turned",
    ]
    names = [one.name for one in abuse(analysis(CHIP.replace("VIN 9V", "VIN 12V")))]
    assert names == ["reversed", "18 V", "9 V AC", "U1 turned"]


def test_a_regulator_put_in_backwards_kills_the_chip() -> None:
    found = case(CHIP, "U1 turned")
    hit = strain(found, "U2", "supply voltage")
    # 9 V less a diode's 0.7 V (common practice); 6.5 V absolute maximum (maker's data sheet, page 5).
    assert hit.value == pytest.approx(8.3, abs=0.02)
    assert hit.limit == 6.5 and hit.factor == pytest.approx(8.3 / 6.5, rel=3e-3)


def test_an_echo_chip_straight_on_a_battery_is_named() -> None:
    found = case(
        "supply V 5V wall\npart U2 echo-chip supply=V\nU2.6 > R1 10k > gnd\nU2.2 > C1 47u > gnd\n", "12 V"
    )
    hit = strain(found, "U2", "supply voltage")
    assert hit.factor == pytest.approx(12 / 6.5) and hit.at_v == pytest.approx(6.5, rel=1e-6)


@pytest.mark.parametrize(
    ("name", "limit_v", "source"),
    [
        ("TL072", 36.0, "TI SLOS080M: +-18 V absolute maximum"),
        ("LM358", 32.0, "TI SLOS068T"),
        ("MCP6002", 7.0, "Microchip sheet, from memory"),
        ("TLC2272", 16.0, "from memory"),
    ],
)
def test_amplifiers_break_above_their_absolute_maximum(name: str, limit_v: float, source: str) -> None:
    found = case(f"supply V 5V wall\npart U1 dual-opamp {name} v+=V v-=gnd\n", "18 V")
    broken = [one for one in found.strains if one.rating == "supply voltage"]
    assert bool(broken) is (limit_v < 18.0), source
    if broken:
        assert broken[0].factor == pytest.approx(18.0 / limit_v) and broken[0].limit == limit_v
        assert broken[0].at_v == pytest.approx(limit_v, rel=1e-6)


def test_a_16_v_capacitor_fails_on_18_v() -> None:
    found = case(BARE, "18 V")
    hit = strain(found, "C1", "rated voltage")
    assert hit.factor == pytest.approx(18 / 16) and hit.at_v == pytest.approx(16.0, rel=1e-6)
    assert case(BARE, "12 V").survives is True


def test_alternating_supply_counts_both_peaks() -> None:
    found = case(BARE, "9 V AC")
    assert found.volts == pytest.approx((9 * sqrt(2), -9 * sqrt(2)))
    assert strain(found, "C1", "backwards").value == pytest.approx(12.728, rel=1e-4)
    assert case(SERIES_DIODE, "9 V AC").survives is True


def test_a_zener_across_the_supply_is_told_to_hold_it() -> None:
    text = "supply VIN 9V wall\nVIN > R1 100 > V\ngnd > D1 12V (zener) > V\nV > R2 10k > gnd\n"
    found = case(text, "18 V")
    assert any("D1 breaks down" in said for said in found.protected_by)
    # (18 - 12) V over 100 ohm is 0.36 W in the resistor and some 0.7 W in a half-watt zener.
    assert strain(found, "D1", "heat").value == pytest.approx(0.70, abs=0.06)
    assert strain(found, "R1", "heat").value == pytest.approx(0.33, abs=0.04)


def test_a_lamp_without_its_resistor_and_one_backwards() -> None:
    text = "supply V 9V wall\nV > R1 1k > D1 red (led) > gnd\nV > R2 100k > OUT > D2 red (led) > gnd\n"
    found = case(text, "reversed")
    # Sheets allow a lamp 5 V backwards (from memory).
    assert strain(found, "D1", "reverse").factor == pytest.approx(9 / 5, rel=1e-3)
    assert strain(found, "D2", "reverse").factor == pytest.approx(9 / 5, rel=1e-3)


def test_transistors_are_told_against_their_collector_voltage() -> None:
    text = "supply V 9V wall\npart Q1 npn AC127 c=C b=B e=gnd\nV > R1 10k > C\nB > R2 100k > gnd\n"
    found = case(text, "18 V")
    # 12 V: AC127, from memory.
    assert strain(found, "Q1", "collector voltage").limit == 12.0


def test_a_negative_supply_is_abused_with_its_own_sign() -> None:
    found = abuse(analysis("supply VN -9V wall\nVN > R1 10k > gnd\ngnd > C1 10u (electrolytic, 10V) > VN\n"))
    wrong = {one.name: one for one in found}
    assert wrong["reversed"].volts == (9.0,) and wrong["12 V"].volts == (-12.0,)
    assert strain(wrong["reversed"], "C1", "backwards").factor == pytest.approx(9.0)
    assert strain(wrong["12 V"], "C1", "rated voltage").factor == pytest.approx(1.2)


def test_what_the_healthy_circuit_exceeds_already_has_no_voltage_of_its_own() -> None:
    text = "supply V 9V wall\nV > C1 10u (electrolytic, 6.3V) > gnd\nV > R1 10k > gnd\n"
    assert strain(case(text, "12 V"), "C1", "rated").at_v is None


@pytest.mark.parametrize("name", circuits.names())
def test_every_circuit_of_the_package_is_solved_under_every_abuse(name: str) -> None:
    found = abuse(analysis(circuits.text(name)))
    assert (name == "three-shelves-tone") is (found == ())
    for one in found:
        assert one.certified, one.name
        assert all(hit.factor > 1.0 for hit in one.strains)
        reached = [abs(hit.at_v) for hit in one.strains if hit.at_v is not None]
        assert reached == sorted(reached)
        ends = max(abs(volts) for volts in one.volts)
        assert all(at <= ends * 1.0001 for at in reached)


SERIES = (
    "lantern-echo",
    "duckpond-chorus",
    "ferryman-phaser",
    "gatepost-buffer",
    "grainloft-reverb",
    "millwheel-tremolo",
    "plumtree-fuzz",
    "windowsill-tone",
    "lesson-non-inverting-booster",
)


@pytest.mark.parametrize("name", SERIES)
def test_circuits_with_a_series_diode_survive_a_reversed_supply(name: str) -> None:
    found = next(one for one in abuse(analysis(circuits.text(name))) if one.name == "reversed")
    assert found.survives is True and any("D1 blocks" in said for said in found.protected_by)
