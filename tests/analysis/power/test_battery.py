"""Battery life: the failing voltage against a root found by other means, hours against an integral."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from pedalwright import circuits, read_text
from pedalwright.analysis.power import BatteryLife, Failing, battery_life
from pedalwright.analysis.power.battery import cell
from pedalwright.analysis.power.cells import CHEMISTRIES, Chemistry
from tests.analysis.power.circuits_by_hand import CHIP, analysis


def life(text: str) -> BatteryLife:
    found = battery_life(analysis(text))
    assert found is not None
    return found


def failing(found: BatteryLife, rule: str, ref: str) -> Failing:
    return next(one for one in found.failing if one.rule == rule and one.ref == ref)


def at(text: str, volts: float) -> str:
    """The same circuit on another adaptor."""
    return text.replace("supply VIN 9V", f"supply VIN {volts:.6f}V")


def test_a_regulator_lets_go_at_its_dropout() -> None:
    # 5 V and 1.7 V typical dropout: 6.7 V, Wing Shing 78L05 sheet.
    found = life(CHIP)
    assert found.first is not None and found.first.rule == "regulator headroom"
    assert found.first.at_v == pytest.approx(6.7, abs=0.003)
    assert found.end_v == found.first.at_v


def test_behind_a_diode_it_lets_go_where_the_solved_circuit_says() -> None:
    text = CHIP.replace("in=VIN", "in=VP") + "VIN > D1 1N4001 > VP\n"
    found = life(text)

    def margin(volts: float) -> float:
        return read_text(at(text, volts)).rest.volts("VP") - 6.7

    assert found.first is not None
    assert found.first.at_v == pytest.approx(brentq(margin, 6.0, 9.0), abs=0.003)


def test_the_echo_chip_wants_its_4_5_volts() -> None:
    # Recommended 4.5 to 5.5 V: maker's data sheet, page 5.
    found = life(CHIP)

    def margin(volts: float) -> float:
        return read_text(at(CHIP, volts)).rest.volts("V5") - 4.5

    hit = failing(found, "least supply", "U2")
    assert hit.at_v == pytest.approx(brentq(margin, 5.0, 7.0), abs=0.003)


def test_the_room_of_an_amplifier_ends_where_paper_says() -> None:
    text = """supply VIN 9V battery
input IN 1k 0.5V
output OUT 1M
part U1 dual-opamp TLC2272 v+=VIN v-=gnd
VIN > R1 10k > VB > R2 10k > gnd
VB > C1 100u > gnd
VB > R3 100k > U1a.non
IN > C2 10u > U1a.non
U1a.inv > R4 10k > C3 100u > gnd
U1a.inv > R5 50k > U1a.out
U1a.out > C4 100u > OUT
"""
    hit = failing(life(text), "signal room", "U1a")
    # 0.5 V six times, less the source's 1 kohm into 100 kohm: V/2 - 0.02 V (from memory) = 2.97 V.
    assert hit.at_v == pytest.approx(2 * (3.0 * 100 / 101 + 0.02), rel=5e-3)


def test_what_fails_at_nine_volts_already_does_not_end_the_battery() -> None:
    # TL07x: 10 V at least, TI SLOS080M; every pedal runs it at 9 V.
    found = life(circuits.text("lantern-echo"))
    assert [one.ref for one in found.already] == ["U1"]
    assert all(one.at_v < 9.0 for one in found.failing)
    assert [one.at_v for one in found.failing] == sorted((one.at_v for one in found.failing), reverse=True)


def test_hours_are_the_integral_of_charge_over_current() -> None:
    text = "supply V 9V battery\nV > R1 1k > gnd\n"
    found = life(text)
    assert found.first is None and found.stated
    alkaline = CHEMISTRIES[0]
    share = alkaline.share_at(found.end_v)
    inverse, _ = quad(
        lambda taken: 1e3 / float(alkaline.volts_at(np.array([taken]))[0]), 0.0, share, limit=400
    )
    mean_a, _ = quad(
        lambda taken: float(alkaline.volts_at(np.array([taken]))[0]) / 1e3, 0.0, share, limit=400
    )
    told = found.cells[0]
    assert told.hours == pytest.approx(alkaline.capacity_ah(mean_a / share) * inverse, rel=2e-3)


def test_at_a_steady_current_hours_are_charge_over_current() -> None:
    # Definition of the ampere-hour.
    volts, amps = np.array([4.0, 9.5]), np.array([0.025, 0.025])
    told = cell(CHEMISTRIES[0], 4.8, volts, amps)
    assert told.hours == pytest.approx(0.55 / 0.025, rel=1e-9)
    assert cell(CHEMISTRIES[0], 9.2, volts, amps).hours == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("one", CHEMISTRIES, ids=[one.name for one in CHEMISTRIES])
def test_curves_only_fall_and_hold_less_at_higher_currents(one: Chemistry) -> None:
    assert np.all(np.diff([v for _, v in one.curve]) < 0) and np.all(np.diff([s for s, _ in one.curve]) > 0)
    assert np.all(np.diff([charge for _, charge in one.holds]) < 0)
    lives = [cell(one, 7.0, np.array([4.0, 9.5]), np.full(2, amps)).hours for amps in (0.01, 0.02, 0.05)]
    assert lives == sorted(lives, reverse=True)
    ends = [cell(one, end_v, np.array([4.0, 9.5]), np.full(2, 0.02)).hours for end_v in (8.5, 7.5, 6.0)]
    assert ends == sorted(ends)


def test_only_nine_volt_circuits_with_one_supply_have_a_battery_life() -> None:
    assert battery_life(analysis("supply V 12V wall\nV > R1 1k > gnd\n")) is None
    assert battery_life(analysis("supply V 9V wall\nsupply W -9V wall\nV > R1 1k > W\n")) is None
    assert battery_life(analysis(circuits.text("three-shelves-tone"))) is None
    negative = battery_life(analysis("supply V -9V battery\nV > R1 1k > gnd\n"))
    assert negative is not None and negative.amps == pytest.approx(9e-3, rel=1e-3)


@pytest.mark.parametrize("name", [name for name in circuits.names() if name != "three-shelves-tone"])
def test_every_circuit_of_the_package_has_a_life(name: str) -> None:
    found = life(circuits.text(name))
    assert found.amps > 0
    assert all(np.isfinite(one.hours) and one.hours > 0 for one in found.cells)
    assert found.stated is (" battery\n" in circuits.text(name))


def test_trials_do_not_read_the_battery_s_inner_resistance_twice() -> None:
    # The voltage meant is that at the clips: 9 V over 100 ohm are 90 mA, whatever is inside.
    assert life("supply V 9V battery\nV > R1 100 > gnd\n").amps == pytest.approx(90e-3, rel=1e-4)
