"""Signal sensitivities against the complex step, to 1e-8.

The complex step (Squire and Trapp, SIAM Review 40, 1998) wants real equations, so the nodal equations G + j
w C of a
passive network are written here as real ones of twice the size, [[G, -wC], [wC, G]], assembled from the
parts without
our stamps. A part's value then takes an imaginary step of 1e-30: no difference is formed, so nothing cancels.
"""

from collections.abc import Mapping

import numpy as np
import pytest

from pedalwright.circuit.primitives import Capacitance, Primitive, Resistance
from pedalwright.solve.response import Drive
from pedalwright.solve.sensitivity import sensitivities
from tests.solve.parts import GND, capacitor, resistor, source
from tests.solve.solving import small_of

STEP = 1e-30
FREQUENCIES_HZ = (31.0, 440.0, 5100.0)


def ladder(seed: int) -> list[Primitive]:
    """A resistor-capacitor ladder of chance, driven at ``n0``, its end called ``n6``."""
    random = np.random.default_rng(seed)
    parts: list[Primitive] = [source("input", "n0")]
    for k in range(6):
        parts.append(resistor(f"R{k}", f"n{k}", f"n{k + 1}", float(10 ** random.uniform(2, 5))))
        parts.append(capacitor(f"C{k}", f"n{k + 1}", GND, float(10 ** random.uniform(-10, -7))))
    for k in range(4):
        a, b = random.choice(7, size=2, replace=False)
        parts.append(capacitor(f"X{k}", f"n{a}", f"n{b}", float(10 ** random.uniform(-11, -8))))
    return parts


def stepped(
    parts: list[Primitive], frequency_hz: float, changed: Mapping[str, complex]
) -> tuple[complex, complex]:
    """Real and imaginary part of the voltage at ``n6`` for one volt at ``n0``, each a complex number for a
    complex step.
    """
    unknown = [f"n{k}" for k in range(1, 7)]
    conductance = np.zeros((6, 6), dtype=complex)
    susceptance = np.zeros((6, 6), dtype=complex)
    driven_g, driven_b = np.zeros(6, dtype=complex), np.zeros(6, dtype=complex)
    for part in parts:
        if isinstance(part, Resistance):
            matrix, driven, value = conductance, driven_g, 1.0 / changed.get(part.name, part.ohms)
        elif isinstance(part, Capacitance):
            matrix, driven = susceptance, driven_b
            value = 2 * np.pi * frequency_hz * changed.get(part.name, part.farads)
        else:
            continue
        for here, far in ((part.a, part.b), (part.b, part.a)):
            if here in unknown:
                row = unknown.index(here)
                matrix[row, row] += value
                if far in unknown:
                    matrix[row, unknown.index(far)] -= value
                elif far == "n0":
                    driven[row] += value
    whole = np.block([[conductance, -susceptance], [susceptance, conductance]])
    answer = np.linalg.solve(whole, np.concatenate([driven_g, driven_b]))
    return complex(answer[5]), complex(answer[11])


@pytest.mark.parametrize("seed", range(12))
def test_signal_sensitivities_agree_with_the_complex_step(seed: int) -> None:
    parts = ladder(seed)
    found = sensitivities(small_of(parts), Drive(source="input"), "n6", np.array(FREQUENCIES_HZ))
    for part in parts:
        if not isinstance(part, Resistance | Capacitance):
            continue
        value = part.ohms if isinstance(part, Resistance) else part.farads
        for place, frequency_hz in enumerate(FREQUENCIES_HZ):
            real, imaginary = stepped(parts, frequency_hz, {part.name: value * (1 + 1j * STEP)})
            slope = (real.imag + 1j * imaginary.imag) / STEP
            expected = slope / (real.real + 1j * imaginary.real)
            assert found.of(part.name)[place] == pytest.approx(expected, rel=1e-8, abs=1e-12), part.name
