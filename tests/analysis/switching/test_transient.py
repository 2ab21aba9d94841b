"""Charges let go: charge sharing, RC discharge, energy, and the step of time."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.linalg import expm

from pedalwright.analysis.switching.pop import NEXT_FARADS, shared_step_v
from pedalwright.analysis.switching.transient import COUNT, STEP_S, Network, Unstable


def test_a_capacitor_shares_its_charge_at_once() -> None:
    """V C/(C + C2): 0.2 V on 1 uF meets 500 pF through nothing (circuit theory)."""
    network = Network(np.array([[1e-12]]), np.array([[1e-6 + NEXT_FARADS]]), np.zeros(1))
    wave = network.released(np.array([1e-6 * 0.2]), 0)
    assert wave[0] == pytest.approx(0.2 * 1e-6 / (1e-6 + 500e-12), rel=1e-6)
    assert wave[0] == pytest.approx(shared_step_v(0.2, 1e-6), rel=1e-6)


def test_behind_a_resistor_it_shares_it_exponentially() -> None:
    """1 uF and 500 pF through 470 ohm: tau = R C C2/(C + C2) = 0.2349 us, here in steps of a tenth of a
    microsecond against SciPy's matrix exponential.
    """
    g = np.array([[1.0, -1.0], [-1.0, 1.0]]) / 470.0
    c = np.diag([1e-6, 500e-12])
    start = np.array([0.2, 0.0])
    found = Network(g + 1e-15 * np.eye(2), c, np.zeros(2)).released(c @ start, 1, step_s=1e-8)
    at = 100
    exact = (expm(-np.linalg.solve(c, g) * at * 1e-8) @ start)[1]
    assert found[at] == pytest.approx(exact, rel=0.02)
    assert np.max(found) == pytest.approx(shared_step_v(0.2, 1e-6), rel=1e-4)


@pytest.mark.parametrize("tau_s", [1e-3, 10e-3, 0.1])
def test_an_rc_discharge(tau_s: float) -> None:
    """V exp(-t/RC) (circuit theory)."""
    farads, ohms = 1e-6, tau_s / 1e-6
    network = Network(np.array([[1 / ohms]]), np.array([[farads]]), np.zeros(1))
    found = network.released(np.array([farads * 1.0]), 0)
    exact = np.exp(-STEP_S * np.arange(COUNT) / tau_s)
    assert np.max(np.abs(found - exact)) < 0.6 * STEP_S / tau_s


def test_half_the_step_changes_less_than_one_per_cent() -> None:
    g = np.array([[1e-3, -1e-3], [-1e-3, 1e-3 + 1e-5]])
    c = np.diag([1e-6, 2e-7])
    network, charge = Network(g, c, np.zeros(2)), c @ np.array([1.0, -0.5])
    coarse = network.released(charge, 1)
    fine = network.released(charge, 1, step_s=STEP_S / 2)
    assert np.max(np.abs(coarse[100 : COUNT // 2] - fine[200:COUNT:2])) < 0.01 * np.max(np.abs(coarse))


def test_equal_voltages_give_nothing() -> None:
    """Two capacitors at one voltage, joined by a resistor, and no way to ground."""
    g = np.array([[1.0, -1.0], [-1.0, 1.0]]) * 1e-3 + 1e-15 * np.eye(2)
    c = np.diag([1e-6, 3e-7])
    wave = Network(g, c, np.zeros(2)).released(c @ np.array([2.0, 2.0]), 1)
    assert np.max(np.abs(wave - 2.0)) < 1e-6


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10_000))
def test_the_energy_of_a_passive_network_never_grows(seed: int) -> None:
    """Resistors only turn energy into heat: the sum of C V^2/2 falls from step to step (Tellegen)."""
    chance = np.random.default_rng(seed)
    size = 4
    g, c = np.diag(10 ** chance.uniform(-7, -4, size)), np.diag(10 ** chance.uniform(-9, -6, size))
    for here in range(size):
        for there in range(here):
            ohms = 10 ** chance.uniform(2, 6)
            g[[here, there], [here, there]] += 1 / ohms
            g[[here, there], [there, here]] -= 1 / ohms
    start = chance.uniform(-5, 5, size)
    network = Network(g, c, np.zeros(size))
    waves = np.array([network.released(c @ start, row) for row in range(size)])
    energy = 0.5 * np.sum(np.diag(c)[:, None] * waves**2, axis=0)
    assert energy[0] <= 0.5 * np.sum(np.diag(c) * start**2) * (1 + 1e-9)
    assert np.all(np.diff(energy) <= 1e-12 * energy[0])


def test_a_network_that_runs_away_is_refused() -> None:
    network = Network(np.array([[-1e-3]]), np.array([[1e-6]]), np.zeros(1))
    with pytest.raises(Unstable):
        network.released(np.array([1e-6]), 0)
