"""The reference on a circuit with one of each kind: against the solver's laws, its rest and small signals."""

import numpy as np
import pytest

from pedalwright.circuit.primitives import Short
from pedalwright.solve.equations import equations
from pedalwright.solve.linear import linearise
from pedalwright.solve.response import Drive, respond
from pedalwright.solve.rest import ROOM_K, operating_point
from pedalwright.solve.system import compile_system
from tests.solve.parts import (
    GND,
    Parts,
    amplifier,
    bipolar,
    capacitor,
    controlled,
    current,
    diode,
    draw,
    field_effect,
    inductor,
    regulator,
    resistor,
    source,
)
from tests.solve.time.cases import slewing
from tests.solve.time.reference import Circuit, Tolerances, Waveform


def everything() -> Parts:
    """One of each kind, biased so that every law is at work."""
    return [
        source("V1", "V9", 9.0),
        source("input", "in"),
        Short(owner="W1", name="W1", a="V9", b="V9b"),
        resistor("R1", "V9b", "VA", 100.0),
        capacitor("C1", "VA", GND, 1e-7),
        draw("U1/supply", "VA", 1e-3),
        regulator("U3", "VA", "V5"),
        resistor("R2", "V5", "VB", 1e4),
        resistor("R3", "VB", GND, 1e4),
        capacitor("C2", "VB", GND, 1e-8),
        capacitor("C3", "in", "b", 1e-7),
        resistor("R4", "VA", "b", 330e3),
        resistor("R5", "b", GND, 68e3),
        bipolar("Q1", "c", "b", "e", early_v=60.0, leak_a=1e-15),
        resistor("R6", "VA", "c", 5.6e3),
        resistor("R7", "e", GND, 1e3),
        capacitor("C4", "c", "b", 1e-10),
        bipolar("Q2", GND, "c", "e2", polarity=-1, early_v=60.0),
        resistor("R8", "VA", "e2", 3.3e3),
        capacitor("C5", "e2", "g", 1e-8),
        resistor("R9", "g", GND, 1e6),
        field_effect(
            "Q3", "d", "g", "s", idss_a=3e-3, threshold_v=-1.5, modulation=0.01, gate_saturation_a=1e-14
        ),
        resistor("R10", "VA", "d", 2.2e3),
        resistor("R11", "s", GND, 1e3),
        capacitor("C6", "d", "p", 1e-8),
        resistor("R12", "p", "VB", 1e5),
        slewing(amplifier("U1", "p", "n", "o"), 1e6),
        resistor("R13", "n", "o", 1e4),
        resistor("R14", "n", "VB", 1e4),
        diode("D1", "n", "o"),
        current("I1", "VA", "n", 1e-7),
        inductor("L1", "o", "f", 1e-2),
        capacitor("C7", "f", GND, 1e-8),
        controlled("G1", "f", GND, "o", "VB", 1e-5),
        resistor("R15", "f", "out", 1e3),
        diode("D2", GND, "out", breakdown_v=5.1),
        resistor("R16", "out", GND, 1e4),
    ]


def test_laws_agree_with_the_solvers_at_any_voltages() -> None:
    parts = [part for part in everything() if not isinstance(part, Short)]
    circuit, system = Circuit(parts), compile_system(parts)
    theirs = equations(system, {}, ROOM_K)
    random = np.random.default_rng(5)
    for _ in range(20):
        x = random.uniform(-1.0, 6.0, circuit.layout.unknowns)
        ours, _ = circuit.equations(x, np.array([9.0, 0.0, 1e-7]))
        full = np.zeros((1, system.size + 1))
        for net, place in circuit.layout.place.items():
            full[0, system.rows[net]] = x[place - 1] if place else 0.0
        wanted = theirs.residual(full)[0]
        for net, place in circuit.layout.place.items():
            held = {
                "V9",
                "in",
                "o",
                "VA",
                "V5",
                "f",
                GND,
            }  # branch currents differ there: not known from x alone
            if net not in held:
                assert ours[place - 1] == pytest.approx(wanted[system.rows[net]], rel=1e-9, abs=1e-15)


def test_rest_is_rest() -> None:
    parts = everything()
    circuit, rest = Circuit(parts), operating_point(compile_system(parts))
    z, d = circuit.states_of(rest), circuit.direct
    y = circuit.followers(z, d, circuit.nothing())
    x = circuit.unknowns(z, y, d)
    for net, place in circuit.layout.place.items():
        if place:
            assert x[place - 1] == pytest.approx(rest.volts(net), abs=1e-8)
    # Volts (amperes) a second; the winding ohms that the solver gives coils at rest leave a little.
    assert circuit.rates(z, d, circuit.nothing()) == pytest.approx(0.0, abs=1e-2)


def test_slopes_are_the_differences_of_rates() -> None:
    parts = everything()
    circuit, rest = Circuit(parts), operating_point(compile_system(parts))
    z, d, last = circuit.states_of(rest), circuit.direct, circuit.nothing()
    slopes = circuit.slopes(z, d, last)
    step = 1e-6
    moves = step * np.eye(circuit.size)
    pairs = [(circuit.rates(z + move, d, last), circuit.rates(z - move, d, last)) for move in moves]
    found = np.array([(more - less) / (2.0 * step) for more, less in pairs]).T
    scale = np.abs(slopes).max(axis=1, keepdims=True)
    assert found / scale == pytest.approx(slopes / scale, abs=1e-5)


@pytest.mark.parametrize("hz", [300.0, 3000.0])
def test_small_sine_equals_the_small_signal_response(hz: float) -> None:
    parts = everything()
    system = compile_system(parts)
    rest = operating_point(system)
    gain = respond(linearise(system, rest), Drive(source="input"), np.array([hz])).volts("out")[0]
    level, periods = 1e-5, 14
    wave: Waveform = lambda t: level * float(np.sin(2.0 * np.pi * hz * t))  # noqa: E731
    t = np.linspace(0.0, periods / hz, 64 * periods + 1)
    circuit = Circuit(parts)
    tolerances = Tolerances(relative=1e-8, absolute=1e-13)
    found = circuit.run(circuit.states_of(rest), {"input": wave}, t, ["out"], tolerances=tolerances).volts[
        :, 0
    ]
    # The transient's slowest part (C3 into 56 kohm: 6 ms) is fitted beside the sine.
    late = t > 0.5 * t[-1]
    basis = [np.sin(2 * np.pi * hz * t), np.cos(2 * np.pi * hz * t), np.ones_like(t), t, t**2, t**3]
    parts_of, *_ = np.linalg.lstsq(np.array(basis).T[late], found[late], rcond=None)
    assert complex(parts_of[0], parts_of[1]) / level == pytest.approx(gain, rel=1e-4)
