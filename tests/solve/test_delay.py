"""Delayed copies: exact in the response, still at rest.

Source: the geometric series of a recirculating delay, H = H0 / (1 - a exp(-sT)); Schroeder, "Natural Sounding
Artificial Reverberation", JAES 10, 1962 (from memory); exponentials by NumPy.
"""

import numpy as np

from pedalwright.solve.impedance import impedance
from pedalwright.solve.linear import linearise
from pedalwright.solve.response import respond
from pedalwright.solve.sensitivity import sensitivities
from pedalwright.solve.system import compile_system
from tests.solve.parts import GND, Parts, delay, resistor, source
from tests.solve.solving import INPUT, rest_of, small_of

FREQUENCIES = np.geomspace(20.0, 8e3, 401)
DELAY_S, GAIN = 0.217, 0.8


def loop() -> Parts:
    """Two equal resistors add the dry signal and the late one: out = (in + late)/2."""
    return [
        source("input", "in"),
        resistor("R1", "in", "out", 1e4),
        resistor("R2", "late", "out", 1e4),
        delay("U2", "out", "late", delay_s=DELAY_S, gain=GAIN),
    ]


def test_recirculating_delay() -> None:
    late = GAIN * np.exp(-2j * np.pi * FREQUENCIES * DELAY_S)
    found = respond(small_of(loop()), INPUT, FREQUENCIES)
    assert found.certificate.ok and "direct" in found.certificate.method
    np.testing.assert_allclose(found.volts("out"), 0.5 / (1 - 0.5 * late), rtol=1e-11)
    np.testing.assert_allclose(found.gain("late", over="out"), late, rtol=1e-10)


def test_opened_delay_stands_still() -> None:
    found = respond(small_of(loop()), INPUT, FREQUENCIES, open_delays=True)
    np.testing.assert_allclose(found.volts("out"), 0.5, rtol=1e-12)
    assert np.abs(found.volts("late")).max() == 0.0


def test_impedance_and_sensitivity_know_the_delay() -> None:
    small = linearise(compile_system(loop()), {})
    late = GAIN * np.exp(-2j * np.pi * FREQUENCIES * DELAY_S)
    # KCL at out with the source dead: V (1/R + (1 - late)/R) = I.
    np.testing.assert_allclose(impedance(small, "out", FREQUENCIES), 1e4 / (2 - late), rtol=1e-11)
    found = sensitivities(small, INPUT, "out", FREQUENCIES).of("R2")
    # V = g1/(g1 + g2 (1 - late)), so d ln V / d ln R2 = g2 (1 - late)/(g1 + g2 (1 - late)).
    np.testing.assert_allclose(found, (1 - late) / (2 - late), rtol=1e-9)


def test_at_rest_the_output_stands_at_its_reference() -> None:
    parts = [
        source("V1", "a", 5.0),
        resistor("R1", "a", "ref", 1e4),
        resistor("R2", "ref", GND, 1e4),
        delay("U2", "a", "late", delay_s=0.1, gain=1.0, reference="ref"),
        resistor("R3", "late", GND, 1e6),
    ]
    rest = rest_of(parts)
    assert abs(rest.volts("late") - rest.volts("ref")) < 1e-12
