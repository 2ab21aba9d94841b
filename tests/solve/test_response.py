"""What a response says about itself: currents, certificates, refusals, and the way it was reached."""

import numpy as np
import pytest

from pedalwright.solve.certificate import Certificate, NotCertified
from pedalwright.solve.linear import linearise
from pedalwright.solve.response import Drive, respond
from pedalwright.solve.system import compile_system
from tests.solve.parts import GND, Parts, amplifier, capacitor, current, inductor, resistor, source
from tests.solve.solving import INPUT, small_of

FREQUENCIES = np.geomspace(10.0, 2e4, 50)


def test_currents_obey_ohm_and_kirchhoff() -> None:
    parts = [
        source("input", "in"),
        resistor("R1", "in", "a", 1e3),
        capacitor("C1", "a", GND, 1e-7),
        inductor("L1", "a", "b", 0.1),
        resistor("R2", "b", GND, 2.2e3),
    ]
    found = respond(small_of(parts), INPUT, FREQUENCIES)
    s = 2j * np.pi * FREQUENCIES
    np.testing.assert_allclose(found.amperes("R1"), (1.0 - found.volts("a")) / 1e3, rtol=1e-12)
    np.testing.assert_allclose(found.amperes("C1"), found.volts("a") * s * 1e-7, rtol=1e-12)
    np.testing.assert_allclose(found.amperes("R1"), found.amperes("C1") + found.amperes("L1"), rtol=1e-10)
    np.testing.assert_allclose(found.amperes("L1"), found.amperes("R2"), rtol=1e-10)
    np.testing.assert_allclose(found.amperes("input"), -found.amperes("R1"), rtol=1e-10)


def test_current_source_drive_and_injections_add_up() -> None:
    parts = [current("I1", GND, "a", 0.0), resistor("R1", "a", GND, 1e3), resistor("R2", "a", "b", 1e3)]
    small = linearise(compile_system(parts), {})
    np.testing.assert_allclose(respond(small, Drive(source="I1"), FREQUENCIES).volts("a"), 1e3, rtol=1e-12)
    both = respond(small, Drive(source="I1", injections={"b": 2.0, GND: 5.0}), FREQUENCIES)
    np.testing.assert_allclose(both.volts("a"), 3e3, rtol=1e-12)
    np.testing.assert_allclose(both.volts("b"), 5e3, rtol=1e-12)


def test_resonance_without_loss_is_refused_at_its_own_frequency() -> None:
    henries, farads = 1.0, 1.0 / (2 * np.pi * 1e3) ** 2
    parts = [current("I1", GND, "a", 0.0), inductor("L1", "a", GND, henries)]
    small = linearise(compile_system([*parts, capacitor("C1", "a", GND, farads)]), {})
    at = respond(small, Drive(source="I1"), np.array([1e3]))
    assert not at.certificate.ok
    beside = respond(small, Drive(source="I1"), np.array([900.0, 1100.0]))
    s = 2j * np.pi * np.array([900.0, 1100.0])
    np.testing.assert_allclose(beside.volts("a"), s * henries / (1 + s**2 * henries * farads), rtol=1e-10)


def test_a_singular_circuit_gives_no_digits() -> None:
    # An ideal amplifier without feedback: nothing says where its output stands.
    open_loop = amplifier("U1", "in", GND, "out", ideal=True)
    parts = [source("input", "in"), open_loop, resistor("R1", "out", GND, 1e3)]
    found = respond(linearise(compile_system(parts), {}), INPUT, FREQUENCIES)
    assert not found.certificate.ok
    with pytest.raises(NotCertified):
        found.volts("out")


def test_a_defective_circuit_is_solved_all_the_same() -> None:
    # Eight equal sections behind followers: one pole of order eight has no set of eigenvectors.
    parts: Parts = [source("input", "o0")]
    for k in range(8):
        parts += [
            resistor(f"R{k}", f"o{k}", f"x{k}", 1e4),
            capacitor(f"C{k}", f"x{k}", GND, 1e-8),
            amplifier(f"U{k}", f"x{k}", f"o{k + 1}", f"o{k + 1}", ideal=True),
        ]
    found = respond(small_of(parts), INPUT, FREQUENCIES)
    np.testing.assert_allclose(found.volts("o8"), 1 / (1 + 2j * np.pi * FREQUENCIES * 1e-4) ** 8, rtol=1e-9)
    assert "directly" in found.certificate.method or found.certificate.method == "modes"


def test_zero_frequency_is_allowed() -> None:
    parts = [source("input", "in"), resistor("R1", "in", "out", 1e3), resistor("R2", "out", GND, 1e3)]
    parts.append(capacitor("C1", "out", GND, 1e-6))
    found = respond(small_of(parts), INPUT, np.array([0.0, 1e3]))
    assert found.volts("out")[0] == pytest.approx(0.5, rel=1e-12)


def test_unknown_names_are_refused() -> None:
    small = small_of([source("input", "in"), resistor("R1", "in", GND, 1e3)])
    with pytest.raises(KeyError):
        respond(small, Drive(source="R1"), FREQUENCIES)
    with pytest.raises(KeyError):
        respond(small, Drive(injections={"nowhere": 1.0}), FREQUENCIES)
    found = respond(small, INPUT, FREQUENCIES)
    with pytest.raises(KeyError):
        found.volts("nowhere")
    with pytest.raises(KeyError):
        found.amperes("R9")


@pytest.mark.parametrize(
    ("residual", "condition", "ok"),
    [
        (1e-15, 1e3, True),
        (1e-8, 1.0, False),
        (1e-12, 1e9, False),
        (float("nan"), 1.0, False),
        (1e-15, float("inf"), False),
    ],
)
def test_the_bounds_of_a_certificate(residual: float, condition: float, ok: bool) -> None:
    certificate = Certificate(residual_a=residual, condition=condition, iterations=1, method="hand")
    assert certificate.ok is ok
    assert certificate.says().startswith("certified" if ok else "not certified")
