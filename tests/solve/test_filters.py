"""Standard filters against transfer functions evaluated by SciPy and python-control.

Transfer functions: Sallen and Key, IRE Trans. CT-2, 1955; multiple feedback and state variable as in any
handbook, for example Franco, "Design with Operational Amplifiers and Analog Integrated Circuits", chapter 3
(from memory).
"""

from collections.abc import Callable

import control
import numpy as np
import pytest
from scipy import signal

from pedalwright.circuit.primitives import Primitive
from pedalwright.solve.linear import linearise
from pedalwright.solve.poles import natural_modes
from pedalwright.solve.system import compile_system
from tests.solve.parts import GND, Parts, amplifier, capacitor, controlled, inductor, resistor, source
from tests.solve.solving import response_of, small_of

FREQUENCIES = np.geomspace(10.0, 1e5, 101)
R1, R2, R3, R4, R5, R6 = 8.2e3, 12e3, 27e3, 15e3, 33e3, 4.7e3
C1, C2 = 22e-9, 3.3e-9


def ideal(name: str, plus: str, minus: str, output: str) -> Primitive:
    return amplifier(name, plus, minus, output, ideal=True)


def low_pass() -> tuple[list[Primitive], list[float], list[float]]:
    parts: list[Primitive] = [resistor("R1", "in", "out", R1), capacitor("C1", "out", GND, C1)]
    return parts, [1.0], [R1 * C1, 1.0]


def high_pass() -> tuple[list[Primitive], list[float], list[float]]:
    parts: list[Primitive] = [capacitor("C1", "in", "out", C1), resistor("R1", "out", GND, R1)]
    return parts, [R1 * C1, 0.0], [R1 * C1, 1.0]


def resonant() -> tuple[list[Primitive], list[float], list[float]]:
    henries = 0.5
    parts: list[Primitive] = [
        resistor("R1", "in", "x", R6),
        inductor("L1", "x", "out", henries),
        capacitor("C1", "out", GND, C2),
    ]
    return parts, [1.0], [henries * C2, R6 * C2, 1.0]


def multiple_feedback() -> tuple[list[Primitive], list[float], list[float]]:
    parts: list[Primitive] = [
        resistor("R1", "in", "m", R1),
        resistor("R2", "m", "out", R2),
        resistor("R3", "m", "n", R3),
        capacitor("C1", "m", GND, C1),
        capacitor("C2", "n", "out", C2),
        ideal("U1", GND, "n", "out"),
    ]
    sum_g = 1 / R1 + 1 / R2 + 1 / R3
    return parts, [-1 / (R1 * R3)], [C1 * C2, C2 * sum_g, 1 / (R2 * R3)]


def sallen_key() -> tuple[list[Primitive], list[float], list[float]]:
    gain = 1 + R5 / R4
    parts: list[Primitive] = [
        resistor("R1", "in", "a", R1),
        resistor("R2", "a", "p", R2),
        capacitor("C1", "a", "out", C2),
        capacitor("C2", "p", GND, C1),
        resistor("R4", "n", GND, R4),
        resistor("R5", "n", "out", R5),
        ideal("U1", "p", "n", "out"),
    ]
    return parts, [gain], [R1 * R2 * C2 * C1, (R1 + R2) * C1 + R1 * C2 * (1 - gain), 1.0]


def state_variable() -> tuple[list[Primitive], list[float], list[float]]:
    """Band-pass output of the three-amplifier inverting form: integrators R2 C1 and R3 C2, damping by R6 at
    the sum."""
    parts: list[Primitive] = [
        resistor("R1", "in", "s", R1),
        resistor("R4", "hp", "s", R4),
        resistor("R5", "lp", "s", R5),
        ideal("U1", "k", "s", "hp"),
        resistor("R6", "out", "k", R6),
        resistor("R7", "k", GND, R6),
        resistor("R2", "hp", "x", R2),
        capacitor("C1", "x", "out", C1),
        ideal("U2", GND, "x", "out"),
        resistor("R3", "out", "y", R3),
        capacitor("C2", "y", "lp", C2),
        ideal("U3", GND, "y", "lp"),
    ]
    # hp = -(R4/R1) in - (R4/R5) lp + k (1 + R4/R1 + R4/R5), k = out/2; out = -hp/(s t1); lp = -out/(s t2).
    t1, t2 = R2 * C1, R3 * C2
    spread = 0.5 * (1 + R4 / R1 + R4 / R5)
    return parts, [R4 / R1 * t2, 0.0], [t1 * t2, spread * t2, R4 / R5]


Design = Callable[[], tuple[Parts, list[float], list[float]]]
FILTERS: list[Design] = [low_pass, high_pass, resonant, multiple_feedback, sallen_key, state_variable]


@pytest.mark.parametrize("design", FILTERS)
def test_response_is_that_of_the_transfer_function(design: Design) -> None:
    parts, over, under = design()
    found = response_of([source("input", "in"), *parts], FREQUENCIES).volts("out")
    s = 2j * np.pi * FREQUENCIES
    by_scipy = signal.freqs(over, under, worN=2 * np.pi * FREQUENCIES)[1]
    by_control = control.tf(over, under)(s)
    np.testing.assert_allclose(found, by_scipy, rtol=1e-11, atol=1e-14)
    np.testing.assert_allclose(found, by_control, rtol=1e-9, atol=1e-12)


@pytest.mark.parametrize("design", FILTERS)
def test_poles_are_the_roots_of_the_denominator(design: Design) -> None:
    parts, _, under = design()
    small = small_of([source("input", "in"), *parts])
    found = sorted((mode.pole for mode in natural_modes(small)), key=abs)
    wanted = sorted((p for p in np.roots(under) if p.imag >= 0), key=abs)
    np.testing.assert_allclose(found, wanted, rtol=1e-10)


def test_finite_gain_bandwidth_moves_a_follower_as_the_one_pole_formula_says() -> None:
    # Follower: A/(1+A) with A = 1/(1/A0 + s/wt); any handbook, e.g. Franco section 6 (from memory).
    parts = [
        source("input", "in"),
        source("VA", "VA", 9.0),
        source("VN", "VN", -9.0),
        amplifier("U1", "in", "out", "out", rails=("VA", "VN"), dc_gain=5e4, gain_bandwidth_hz=1e6),
    ]
    frequencies = np.geomspace(1e2, 1e8, 61)
    a = 1 / (1 / 5e4 + 1j * frequencies / 1e6)
    np.testing.assert_allclose(response_of(parts, frequencies).volts("out"), a / (1 + a), rtol=1e-12)


def test_a_gyrator_of_two_controlled_sources_is_an_inductance() -> None:
    # Tellegen 1948: i1 = g v2, i2 = -g v1; C at port 2 shows L = C/g^2 at port 1 (from memory).
    g, farads, ohms = 1e-3, 1e-8, 1e3
    parts = [
        source("input", "in"),
        resistor("R1", "in", "a", ohms),
        controlled("G1", "a", GND, "b", GND, g),
        controlled("G2", GND, "b", "a", GND, g),
        capacitor("C1", "b", GND, farads),
    ]
    small = linearise(compile_system(parts), {})
    assert small.parameter("G1") == g
    z = 1j * 2 * np.pi * FREQUENCIES * farads / g**2
    np.testing.assert_allclose(response_of(parts, FREQUENCIES).volts("a"), z / (ohms + z), rtol=1e-11)
