"""Sensitivities against differences in 50-digit arithmetic, complex steps, and the scaling laws.

Complex step: Squire and Trapp, SIAM Review 40, 1998. Scaling sums: impedance scaling leaves a voltage gain
alone, so the sensitivities to R and L equal those to C in sum (any book on active filters; both from memory).
"""

from dataclasses import replace

import numpy as np
import pytest

from pedalwright.circuit.primitives import Capacitance, Inductance, Primitive, Resistance
from pedalwright.solve.arrays import ComplexArray
from pedalwright.solve.linear import linearise
from pedalwright.solve.rest import operating_point
from pedalwright.solve.sensitivity import rest_sensitivities, sensitivities
from pedalwright.solve.system import compile_system
from tests.solve.exact import exact_volts
from tests.solve.parts import GND, Parts, bipolar, resistor, source
from tests.solve.random_circuits import linear_circuit
from tests.solve.solving import INPUT, rest_of, small_of


def exact_sensitivity(parts: Parts, place: int, field: str, net: str, frequency: float) -> complex:
    """Richardson-extrapolated central difference of the exact solution, good to about twelve digits."""

    def ratio(step: float) -> complex:
        sides = []
        for sign in (1.0, -1.0):
            value = getattr(parts[place], field) * (1.0 + sign * step)
            changed = [*parts[:place], replace(parts[place], **{field: value}), *parts[place + 1 :]]
            sides.append(exact_volts(changed, "input", frequency)[net])
        return (sides[0] - sides[1]) / (2.0 * step)

    wide, narrow = ratio(2e-3), ratio(1e-3)
    finest = ratio(5e-4)
    first, second = (4 * narrow - wide) / 3, (4 * finest - narrow) / 3
    return (16 * second - first) / 15 / exact_volts(parts, "input", frequency)[net]


@pytest.mark.parametrize("seed", range(5))
def test_adjoint_agrees_with_differences_of_exact_solutions(seed: int) -> None:
    parts = linear_circuit(seed)
    small = small_of(parts)
    frequency, net = 997.0, "n1"
    found = sensitivities(small, INPUT, net, np.array([frequency]))
    fields: dict[type[Primitive], str] = {Resistance: "ohms", Capacitance: "farads", Inductance: "henries"}
    for place, part in enumerate(parts):
        if type(part) in fields:
            wanted = exact_sensitivity(parts, place, fields[type(part)], net, frequency)
            assert found.of(part.name)[0] == pytest.approx(wanted, rel=1e-8, abs=1e-10), part.name


def test_scaling_sums() -> None:
    parts = linear_circuit(3)
    small = small_of(parts)
    found = sensitivities(small, INPUT, "n1", np.geomspace(30.0, 1e4, 9))
    kinds = {part.name: type(part) for part in parts}
    sums: dict[type[Primitive], ComplexArray] = {
        kind: np.zeros(9, complex) for kind in (Resistance, Capacitance, Inductance)
    }
    for name in found.names:
        if kinds.get(name) in sums:
            sums[kinds[name]] = sums[kinds[name]] + found.of(name)
    np.testing.assert_allclose(sums[Resistance] + sums[Inductance] - sums[Capacitance], 0.0, atol=1e-8)


def test_small_signal_parameters_count_too() -> None:
    parts = [
        source("input", "b", 0.65),
        source("VA", "VA", 9.0),
        resistor("RC", "VA", "c", 4.7e3),
        bipolar("Q1", "c", "b", GND, early_v=60.0),
    ]
    small = small_of(parts)
    found = sensitivities(small, INPUT, "c", np.array([1e3]))
    # Gain = -gm / (1/RC + go + gmu) to first order, so the sensitivity to gm is one.
    assert found.of("Q1/gm")[0] == pytest.approx(1.0, rel=1e-6)
    own = small.parameter("Q1/go") / (small.parameter("Q1/go") + 1 / 4.7e3)
    assert found.of("Q1/go")[0] == pytest.approx(-own, rel=1e-6)


def test_rest_sensitivities_of_a_divider_by_complex_step() -> None:
    def middle(r1: complex, r2: complex) -> complex:
        return 9.0 * r2 / (r1 + r2)

    parts = [source("V1", "a", 9.0), resistor("R1", "a", "m", 1e4), resistor("R2", "m", GND, 4.7e3)]
    rest = rest_of(parts)
    found = rest_sensitivities(rest.system, rest, "m")
    h = 1e-30
    assert found.of("R1") == pytest.approx(middle(1e4 * (1 + 1j * h), 4.7e3).imag / h, rel=1e-12)
    assert found.of("R2") == pytest.approx(middle(1e4, 4.7e3 * (1 + 1j * h)).imag / h, rel=1e-12)
    assert found.of("V1") == pytest.approx(9.0 * 4.7 / 14.7, rel=1e-12)


def biased_stage(beta: float = 180.0, bias_ohms: float = 56e3) -> Parts:
    return [
        source("VA", "VA", 9.0),
        resistor("R1", "VA", "b", bias_ohms),
        resistor("R2", "b", GND, 10e3),
        resistor("RC", "VA", "c", 4.7e3),
        resistor("RE", "e", GND, 1e3),
        bipolar("Q1", "c", "b", "e", forward_beta=beta),
    ]


def test_rest_sensitivities_of_a_transistor_stage_by_differences() -> None:
    rest = rest_of(biased_stage())
    found = rest_sensitivities(rest.system, rest, "c")
    for name, key, value in (("Q1.forward_beta", "beta", 180.0), ("R1", "bias_ohms", 56e3)):
        sides = [
            rest_of(biased_stage(**{key: value * (1.0 + sign * 1e-4)})).volts("c") for sign in (1.0, -1.0)
        ]
        assert found.of(name) == pytest.approx((sides[0] - sides[1]) / 2e-4, rel=1e-6)


def test_linearise_and_operating_point_agree_at_zero_frequency() -> None:
    system = compile_system(biased_stage())
    rest = operating_point(system)
    small = linearise(system, rest)
    found = rest_sensitivities(system, rest, "c")
    gain = np.linalg.solve(small.g, np.eye(small.size)[system.branches["VA"]])[system.row("c")]
    assert found.of("VA") == pytest.approx(9.0 * gain, rel=1e-9)
