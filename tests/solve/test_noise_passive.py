"""Noise of passive networks: Nyquist's theorem, k T/C, and what does not change it."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pedalwright.circuit.primitives import Capacitance, Primitive, Resistance
from pedalwright.solve.certificate import NotCertified
from pedalwright.solve.linear import linearise
from pedalwright.solve.noise import power, reach
from pedalwright.solve.rest import operating_point
from pedalwright.solve.system import compile_system
from tests.solve.noise_bench import BOLTZMANN, ROOM_K, chance_network, nodal_resistance, noise_of
from tests.solve.parts import GND, capacitor, inductor, resistor, source


def test_one_resistor_is_nyquists() -> None:
    # 10 kohm at 300 K: 12.8716 nV/rtHz, sqrt(4 k T R) with the exact constants.
    found = noise_of([resistor("R1", "A", GND, 10e3)], "A", np.array([1e3]))
    assert math.sqrt(found.density[0]) * 1e9 == pytest.approx(12.8716, abs=5e-5)


def test_two_resistors_side_by_side_are_one() -> None:
    parts = [resistor("R1", "A", GND, 10e3), resistor("R2", "A", GND, 30e3)]
    found = noise_of(parts, "A", np.array([1e3]))
    assert found.density[0] == pytest.approx(4 * BOLTZMANN * ROOM_K * 7.5e3, rel=1e-12)


@pytest.mark.parametrize("steps", [1, 2, 3, 5])
def test_every_capacitor_of_a_ladder_holds_kt_over_c(steps: int) -> None:
    """Equipartition: half k T in every capacitor, whatever resistors feed it."""
    farads = [1e-9 * 2.2**step for step in range(steps)]
    parts: list[Primitive] = []
    for step, value in enumerate(farads):
        before = GND if step == 0 else f"N{step - 1}"
        parts.append(resistor(f"R{step}", before, f"N{step}", 10e3 / (step + 1)))
        parts.append(capacitor(f"C{step}", f"N{step}", GND, value))
    # Twelve decades around corners of some kilohertz leave out less than a millionth at either end.
    frequencies = np.geomspace(1e-3, 1e11, 1401)
    for step, value in enumerate(farads):
        found = noise_of(parts, f"N{step}", frequencies)
        total = float(power(frequencies, found.density))
        assert total / (BOLTZMANN * ROOM_K / value) == pytest.approx(1.0, abs=1e-4)


@given(seed=st.integers(0, 10**6))
def test_a_passive_network_obeys_nyquists_theorem(seed: int) -> None:
    """S = 4 k T Re Z at any net of any network of resistors, capacitors and inductors (Nyquist, 1928)."""
    parts = chance_network(seed)
    frequencies = np.array([31.0, 440.0, 5e3])
    try:
        found = noise_of(parts, "N0", frequencies)
    except NotCertified:
        return
    wanted = [4 * BOLTZMANN * ROOM_K * nodal_resistance(parts, "N0", hz) for hz in frequencies]
    assert found.density == pytest.approx(wanted, rel=1e-6)


def test_hardly_any_chance_network_is_refused() -> None:
    refused = 0
    for seed in range(60):
        try:
            noise_of(chance_network(seed), "N0", np.array([440.0]))
        except NotCertified:
            refused += 1
    assert refused <= 3


@given(seed=st.integers(0, 10**6), factor=st.floats(0.1, 10.0))
def test_all_impedances_scaled_scale_the_power(seed: int, factor: float) -> None:
    parts = chance_network(seed)
    scaled = [
        replace(part, ohms=part.ohms * factor)
        if isinstance(part, Resistance)
        else replace(part, farads=part.farads / factor)
        if isinstance(part, Capacitance)
        else replace(part, henries=part.henries * factor)
        for part in parts
    ]
    frequencies = np.array([100.0, 3e3])
    try:
        before, after = (noise_of(one, "N0", frequencies).density for one in (parts, scaled))
    except NotCertified:
        return
    assert after == pytest.approx(factor * before, rel=1e-5)


@given(seed=st.integers(0, 10**6))
def test_the_order_of_parts_does_not_matter(seed: int) -> None:
    parts = chance_network(seed)
    shuffled = [parts[place] for place in np.random.default_rng(seed).permutation(len(parts))]
    frequencies = np.array([100.0, 3e3])
    try:
        before, after = (noise_of(one, "N0", frequencies).density for one in (parts, shuffled))
    except NotCertified:
        return
    assert after == pytest.approx(before, rel=1e-6)


def test_the_power_goes_with_the_temperature() -> None:
    parts, frequencies = chance_network(7), np.array([100.0, 3e3])
    cold, warm = (
        noise_of(parts, "N0", frequencies, temperature_k=kelvin).density for kelvin in (250.0, 350.0)
    )
    assert warm / cold == pytest.approx(np.full(2, 1.4), rel=1e-9)


@pytest.mark.parametrize(("q", "natural_hz"), [(0.5, 1e3), (2**-0.5, 1e3), (5.0, 440.0)])
def test_the_noise_bandwidth_of_two_poles(q: float, natural_hz: float) -> None:
    """(pi/2) Q f0 of a low-pass; for Q = 0.7071 that is 1.110721 f0, a Butterworth of order two (from
    memory).
    """
    henries = 1.0
    farads = 1 / ((2 * math.pi * natural_hz) ** 2 * henries)
    parts = [
        source("V", "A"),
        resistor("R1", "A", "B", math.sqrt(henries / farads) / q),
        inductor("L1", "B", "OUT", henries),
        capacitor("C1", "OUT", GND, farads),
    ]
    rest = operating_point(compile_system(parts))
    small = linearise(rest.system, rest)
    frequencies = np.geomspace(1e-4, 1e9, 4001)
    gain = reach(small, {"OUT": 1.0}, frequencies).y[rest.system.branches["V"]]
    assert float(power(frequencies, np.abs(gain) ** 2)) == pytest.approx(
        math.pi / 2 * q * natural_hz, rel=1e-5
    )
