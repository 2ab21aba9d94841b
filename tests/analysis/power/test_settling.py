"""Settling and the gulp at switch-on, against SciPy's matrix exponential, its integrator, and hand sums."""

from math import log

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.linalg import expm
from scipy.optimize import brentq

from pedalwright import circuits
from pedalwright.analysis.power import Settling, inrush, settling
from pedalwright.analysis.power.settling import decay_of, within
from pedalwright.devices.kinds.capacitor import typical_series_ohms
from tests.analysis.power.circuits_by_hand import CHIP, TIGHT, analysis


def of(text: str, net: str) -> Settling:
    return next(one for one in settling(analysis(text)) if one.net == net)


HALF = "supply VA 9V wall\nVA > R1 22k > VB > R2 22k > gnd\nVB > C1 47u (leak=1T) > gnd\nVB > R3 1M > gnd\n"


def test_a_half_supply_takes_three_time_constants_to_5_per_cent() -> None:
    # t = RC ln 20 and RC ln 100: the charging capacitor of every textbook.
    time_constant_s = 1 / (1 / 22e3 + 1 / 22e3 + 1 / 1e6) * 47e-6
    found = of(HALF, "VB")
    assert found.within_5_s == pytest.approx(time_constant_s * log(20), rel=2e-3)
    assert found.within_1_s == pytest.approx(time_constant_s * log(100), rel=2e-3)


def test_the_chip_s_reference_takes_more_than_a_second() -> None:
    # 5.5 kohm measured at pin 2 (published, 2021) and 47 uF: 0.2585 s; the chip itself fades in over 400 ms
    # (maker's data sheet, page 4).
    found = next(one for one in settling(analysis(CHIP)) if one.fade_s)
    assert found.within_5_s == pytest.approx(0.2585 * log(20), rel=0.01)
    assert found.within_1_s == pytest.approx(0.2585 * log(100), rel=0.01)
    assert found.fade_s == 0.4
    assert found.says == "reference of U2"


@settings(max_examples=20, deadline=None)
@given(
    ohms=st.lists(st.floats(1e2, 1e6), min_size=6, max_size=6),
    farads=st.lists(st.floats(1e-9, 1e-4), min_size=3, max_size=3),
)
def test_any_ladder_settles_as_the_matrix_exponential_says(ohms: list[float], farads: list[float]) -> None:
    r = [float(f"{value:.5g}") for value in ohms]
    c = [float(f"{value:.5g}") for value in farads]
    text = f"""supply V 9V wall
V > R1 {r[0]:g} > A > R2 {r[1]:g} > B > R3 {r[2]:g} > D
A > R4 {r[3]:g} > gnd
B > R5 {r[4]:g} > gnd
D > R6 {r[5]:g} > gnd
A > C1 {c[0] * 1e12:.6g}p > gnd
B > C2 {c[1] * 1e12:.6g}p > gnd
A > C3 {c[2] * 1e12:.6g}p > D
"""
    circuit = analysis(text)
    assert circuit.small is not None
    decay = decay_of(circuit.small, circuit.rest.x)
    assert decay is not None
    g = [1 / value for value in r]
    conductances = np.array(
        [
            [g[0] + g[1] + g[3], -g[1], 0.0],
            [-g[1], g[1] + g[2] + g[4], -g[2]],
            [0.0, -g[2], g[2] + g[5]],
        ]
    )
    capacitances = np.array([[c[0] + c[2], 0.0, -c[2]], [0.0, c[1], 0.0], [-c[2], 0.0, c[2]]])
    final = np.linalg.solve(conductances, [9.0 * g[0], 0.0, 0.0])
    rates = -np.linalg.solve(capacitances, conductances)
    slowest = 1 / np.abs(np.linalg.eigvals(rates)).min()
    for time_s in slowest * np.array([0.01, 0.3, 1.0, 3.0]):
        missing = -expm(rates * time_s) @ final
        told = [float(decay.missing(circuit.system.row(net), np.array([time_s]))[0]) for net in "ABD"]
        assert told == pytest.approx(list(missing), abs=2e-6 * 9.0)


def test_a_rail_behind_a_diode_settles_nearly_as_the_bent_circuit_does() -> None:
    # The whole bent circuit by SciPy: 1N5817 card in series with 100 ohm, 47 uF, 2.2 kohm of load.
    text = (
        "supply VIN 9V wall\nVIN > D1 1N5817 > VP > R1 100 > VA > C1 47u (leak=1T) > gnd\nVA > R2 2k2 > gnd\n"
    )
    thermal_v = 1.380649e-23 * 300.15 / 1.602176634e-19

    def through(volts: float) -> float:
        def excess(amps: float) -> float:
            junction = 1.373 * thermal_v * log(amps / 31.7e-6 + 1.0)
            return junction + amps * (100.051) - volts

        return float(brentq(excess, 0.0, 1.0))

    run = solve_ivp(
        lambda _, v: [(through(9.0 - v[0]) - v[0] / 2200.0) / 47e-6],
        (0.0, 0.2),
        [0.0],
        rtol=1e-8,
        atol=1e-10,
        dense_output=True,
    )
    final = float(run.y[0, -1])
    found = of(text, "VA")
    assert found.volts == pytest.approx(final, rel=1e-4)
    assert run.sol is not None
    grid = np.linspace(0.0, 0.2, 20001)
    outside = np.flatnonzero(np.abs(run.sol(grid)[0] - final) > 0.05 * final)
    assert found.within_5_s == pytest.approx(grid[outside[-1] + 1], rel=0.12)


def test_what_lies_straight_across_an_adaptor_is_there_at_once() -> None:
    text = HALF + "VA > C2 100u (electrolytic, 16V) > gnd\n"
    assert of(text, "VB").within_5_s == pytest.approx(of(HALF, "VB").within_5_s, rel=1e-6)


def test_a_net_that_an_oscillator_keeps_moving_is_not_told() -> None:
    found = {one.net: one for one in settling(analysis(circuits.text("millwheel-tremolo")))}
    assert found["VL"].within_1_s is None and found["VB"].within_1_s == pytest.approx(2.4, abs=0.1)


@pytest.mark.parametrize("name", [name for name in circuits.names() if name != "three-shelves-tone"])
def test_every_circuit_of_the_package_settles(name: str) -> None:
    for one in settling(analysis(circuits.text(name))):
        if one.within_1_s is not None and one.within_5_s is not None:
            assert 0.0 <= one.within_5_s <= one.within_1_s < 60.0


def test_the_gulp_is_ohms_law_through_what_is_in_the_way() -> None:
    # 9 V over 0.5 ohm of adaptor and 1 ohm stated inside the capacitor; 100 uF hold 0.9 mC.
    text = f"supply V 9V wall {TIGHT}\nV > C1 100u (electrolytic, 16V, esr=1) > gnd\nV > R1 10k > gnd\n"
    found = inrush(analysis(text))
    assert found is not None and found.certified
    assert found.peak_a == pytest.approx(9 / 1.501, rel=1e-3)
    assert found.charge_c == pytest.approx(0.9e-3, rel=1e-6)


def test_a_capacitor_without_a_stated_resistance_has_that_of_its_size() -> None:
    text = "supply V 9V battery\nV > R1 10 > VA > C1 100u (electrolytic, 16V) > gnd\nVA > R2 10k > gnd\n"
    found = inrush(analysis(text))
    assert found is not None
    assert found.peak_a == pytest.approx(9 / (2 + 10 + typical_series_ohms(100e-6)), rel=1e-3)


def test_a_diode_on_the_way_is_held_against_its_surge() -> None:
    found = inrush(analysis(circuits.text("millwheel-tremolo")))
    # 1N4001: 30 A, Fairchild 2014.
    assert found is not None and found.through == (("D1", 30.0, "Fairchild 1N4001 sheet, 2014"),)
    assert 1.0 < found.peak_a < 10.0
    assert inrush(analysis(circuits.text("three-shelves-tone"))) is None


def test_it_is_near_what_the_sound_engine_hears_at_switch_on() -> None:
    # The same start in time, with the bent diode and the engine's own supply, which takes 5 ms to rise.
    from pedalwright.sound.player import Player
    from pedalwright.sound.supply_ramp import RISE_S

    circuit = analysis("""supply VIN 9V wall
input IN pickup
output VB 10M
VIN > D1 1N5817 > VP > C1 100u (leak=1T) > gnd
VP > R1 100 > VA > C2 47u (leak=1T) > gnd
VA > R2 2k2 > VB > R3 2k2 > gnd
VB > C3 22u (leak=1T) > gnd
IN > R4 1M > gnd
""")
    assert circuit.small is not None
    decay = decay_of(circuit.small, circuit.rest.x)
    assert decay is not None
    final = circuit.rest.volts("VB")
    player = Player.of(circuit.circuit, power_on=True)
    played = player.play(np.zeros(12000))
    for share in (0.05, 0.01):
        last = np.flatnonzero(np.abs(played - final) > share * final)[-1]
        heard_s = (last + 1 - player.latency_frames) / 48000 - RISE_S / 2
        told_s = within(decay, circuit.system.row("VB"), share * final)
        assert told_s == pytest.approx(heard_s, rel=0.1)
