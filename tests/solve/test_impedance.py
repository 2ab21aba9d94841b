"""Impedances: against hand formulas, and the laws every passive network keeps.

Reciprocity (Lorentz 1896; Carson 1929) and Re Z >= 0 of a passive driving-point impedance (Brune 1931), from
memory.
"""

import numpy as np
import pytest

from pedalwright.circuit.primitives import Primitive
from pedalwright.solve.impedance import impedance, transfer_impedance
from pedalwright.solve.linear import linearise
from pedalwright.solve.system import compile_system
from tests.solve.parts import GND, amplifier, capacitor, field_effect, inductor, resistor, source
from tests.solve.solving import small_of

FREQUENCIES = np.geomspace(20.0, 2e4, 31)
S = 2j * np.pi * FREQUENCIES


def passive_circuit(seed: int) -> list[Primitive]:
    rng = np.random.default_rng(seed)
    nets = [f"n{k}" for k in range(5)]
    parts: list[Primitive] = [resistor(f"Rg{net}", net, GND, 10 ** rng.uniform(3, 6)) for net in nets]
    makers = (
        lambda name, a, b: resistor("R" + name, a, b, 10 ** rng.uniform(2, 6)),
        lambda name, a, b: capacitor("C" + name, a, b, 10 ** rng.uniform(-10, -6)),
        lambda name, a, b: inductor("L" + name, a, b, 10 ** rng.uniform(-3, 0.5)),
    )
    for number in range(9):
        a, b = rng.choice([*nets, GND], size=2, replace=False)
        parts.append(makers[int(rng.integers(0, 3))](str(number), str(a), str(b)))
    return parts


@pytest.mark.parametrize("seed", range(25))
def test_passive_networks_are_reciprocal_and_passive(seed: int) -> None:
    small = linearise(compile_system(passive_circuit(seed)), {})
    there = transfer_impedance(small, "n0", "n3", FREQUENCIES)
    back = transfer_impedance(small, "n3", "n0", FREQUENCIES)
    np.testing.assert_allclose(there, back, rtol=1e-9)
    for net in ("n0", "n2"):
        own = impedance(small, net, FREQUENCIES)
        assert (own.real >= -1e-12 * np.abs(own)).all()


def test_resistor_and_capacitor_by_hand() -> None:
    parts = [resistor("R1", "a", GND, 1e4), capacitor("C1", "a", GND, 1e-8), resistor("R2", "a", "b", 470.0)]
    small = linearise(compile_system(parts), {})
    parallel = 1e4 / (1 + S * 1e-4)
    np.testing.assert_allclose(impedance(small, "a", FREQUENCIES), parallel, rtol=1e-12)
    np.testing.assert_allclose(impedance(small, "b", FREQUENCIES), parallel + 470.0, rtol=1e-12)
    assert (impedance(small, GND, FREQUENCIES) == 0.0).all()


def test_input_impedance_is_that_without_the_source() -> None:
    parts = [
        source("input", "in"),
        resistor("R1", "in", "x", 1e6),
        capacitor("C1", "in", "y", 1e-8),
        resistor("R2", "y", GND, 1e5),
        resistor("R3", "x", GND, 2.2e5),
    ]
    small = linearise(compile_system(parts), {})
    assert np.abs(impedance(small, "in", FREQUENCIES)).max() < 1e-9
    branch = 1e5 + 1 / (S * 1e-8)
    wanted = 1 / (1 / 1.22e6 + 1 / branch)
    np.testing.assert_allclose(impedance(small, "in", FREQUENCIES, removed=["input"]), wanted, rtol=1e-11)


def test_output_impedance_of_a_feedback_amplifier_falls_by_the_loop_gain() -> None:
    # Zo = Ro/(1 + A b) for an amplifier with output resistance Ro inside the loop (any handbook).
    parts = [
        source("VA", "VA", 9.0),
        source("VN", "VN", -9.0),
        amplifier("U1", GND, "n", "o", rails=("VA", "VN"), dc_gain=1e5, gain_bandwidth_hz=1e6),
        resistor("Ro", "o", "out", 50.0),
        resistor("Rf", "out", "n", 1e5),
        resistor("Ri", "n", GND, 1e4),
    ]
    small = small_of(parts)
    a = 1 / (1 / 1e5 + 1j * FREQUENCIES / 1e6)
    load = 1.1e5
    inner = 50.0 * load / (50.0 + load)
    wanted = inner / (1 + a * (1e4 / 1.1e5) * load / (load + 50.0))
    np.testing.assert_allclose(impedance(small, "out", FREQUENCIES), wanted, rtol=1e-9)


def test_source_follower_output_impedance_is_one_over_gm() -> None:
    parts = [
        source("VA", "VA", 9.0),
        resistor("RG", "g", GND, 1e6),
        resistor("RS", "s", GND, 3.3e3),
        field_effect("J1", "VA", "g", "s", idss_a=5e-3, threshold_v=-2.0),
    ]
    small = small_of(parts)
    gm = small.parameter("J1/gm")
    wanted = 1 / (gm + 1 / 3.3e3)
    np.testing.assert_allclose(impedance(small, "s", FREQUENCIES).real, wanted, rtol=1e-7)


def test_unknown_names_are_refused() -> None:
    small = linearise(compile_system([resistor("R1", "a", GND, 1e3)]), {})
    with pytest.raises(KeyError):
        impedance(small, "nowhere", FREQUENCIES)
    with pytest.raises(KeyError):
        impedance(small, "a", FREQUENCIES, removed=["R9"])
