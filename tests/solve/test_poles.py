"""Poles, zeros and modes, against SciPy's generalised eigenvalues and roots known in advance.

Butterworth poles: Butterworth, Wireless Engineer 7, 1930; Twin-T notch at 1/(2 pi R C) (both from memory).
"""

import numpy as np
import pytest
from scipy import linalg

from pedalwright.solve.linear import linearise
from pedalwright.solve.poles import natural_modes, poles, zeros
from pedalwright.solve.system import compile_system
from tests.solve.parts import GND, Parts, amplifier, capacitor, inductor, resistor, source
from tests.solve.random_circuits import linear_circuit
from tests.solve.solving import INPUT, small_of


def test_widely_spread_poles_keep_their_digits() -> None:
    # Separate RC sections, each behind an ideal follower: the poles are -1/RC exactly.
    parts: Parts = [source("input", "o0")]
    constants = [470.0, 1e-1, 3.3e-4, 2e-7, 1.5e-10]
    for k, seconds in enumerate(constants):
        parts += [
            resistor(f"R{k}", f"o{k}", f"x{k}", 1e6),
            capacitor(f"C{k}", f"x{k}", GND, seconds / 1e6),
            amplifier(f"U{k}", f"x{k}", f"o{k + 1}", f"o{k + 1}", ideal=True),
        ]
    found = poles(small_of(parts))
    assert found.infinite == 0 and found.refined.all()
    np.testing.assert_allclose(found.finite, [-1 / seconds for seconds in constants], rtol=1e-11)


@pytest.mark.parametrize("seed", range(8))
def test_poles_agree_with_generalised_eigenvalues(seed: int) -> None:
    small = small_of(linear_circuit(seed))
    found = poles(small).finite
    scaled = 1e5
    values = linalg.eigvals(small.g, -small.c * scaled)
    wanted = values[np.isfinite(values)] * scaled
    for pole in found[(np.abs(found) > 1.0) & (np.abs(found) < 1e8)]:
        assert np.abs(wanted - pole).min() <= 1e-5 * abs(pole)


def test_butterworth_ladder() -> None:
    # Doubly terminated third-order ladder of 1 ohm, 1 F, 2 H, 1 F scaled to 1 kohm and 1 kHz.
    r, w = 1e3, 2 * np.pi * 1e3
    parts = [
        source("input", "in"),
        resistor("R1", "in", "a", r),
        capacitor("C1", "a", GND, 1 / (w * r)),
        inductor("L1", "a", "out", 2 * r / w),
        capacitor("C2", "out", GND, 1 / (w * r)),
        resistor("R2", "out", GND, r),
    ]
    single, pair = sorted(natural_modes(small_of(parts)), key=lambda mode: mode.q is not None)
    assert single.q is None and single.frequency_hz == pytest.approx(1e3, rel=1e-10)
    assert pair.q == pytest.approx(1.0, rel=1e-10) and pair.frequency_hz == pytest.approx(1e3, rel=1e-10)
    assert pair.stable


def test_twin_t_notch_is_a_pair_of_imaginary_zeros() -> None:
    r, c = 1e4, 1e-8
    parts = [
        source("input", "in"),
        resistor("R1", "in", "a", r),
        resistor("R2", "a", "out", r),
        capacitor("C3", "a", GND, 2 * c),
        capacitor("C1", "in", "b", c),
        capacitor("C2", "b", "out", c),
        resistor("R3", "b", GND, r / 2),
        resistor("RL", "out", GND, 1e6),
    ]
    small = linearise(compile_system(parts), {})
    found = zeros(small, INPUT, "out").finite
    notch = found[np.abs(found.imag) > 1.0]
    np.testing.assert_allclose(np.abs(notch.imag), 1 / (r * c), rtol=1e-9)
    assert np.abs(notch.real).max() < 1e-6 / (r * c)


def test_capacitor_across_a_source_is_a_pole_at_infinity() -> None:
    small = linearise(
        compile_system(
            [source("input", "in"), capacitor("C1", "in", GND, 1e-6), resistor("R1", "in", GND, 1e3)]
        ),
        {},
    )
    found = poles(small)
    assert len(found.finite) == 0 and found.infinite == 1


def test_growing_mode_is_said_to_grow() -> None:
    # A follower with positive feedback larger than one: a real pole in the right half plane.
    parts = [
        source("VA", "VA", 9.0),
        source("VN", "VN", -9.0),
        resistor("R1", "o", "p", 1e4),
        resistor("R2", "p", GND, 1e4),
        amplifier("U1", "p", GND, "o", rails=("VA", "VN")),
    ]
    small = linearise(compile_system(parts), {"o": 0.0, "VA": 9.0, "VN": -9.0})
    (mode,) = natural_modes(small)
    assert not mode.stable
    # s = wt (1/2 - 1/A0)
    assert mode.pole.real == pytest.approx(2 * np.pi * 3e6 * (0.5 - 1 / 2e5), rel=1e-9)
