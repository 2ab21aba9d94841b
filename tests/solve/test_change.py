"""One value changed by the exact update, against solving the changed circuit again."""

import numpy as np
import pytest

from pedalwright.solve.change import change_each
from pedalwright.solve.linear import linearise
from pedalwright.solve.response import respond, respond_many
from pedalwright.solve.system import compile_system
from tests.solve.parts import GND, Parts, capacitor, delay, resistor, source
from tests.solve.random_circuits import linear_circuit
from tests.solve.solving import INPUT, small_of

FREQUENCIES = np.geomspace(20.0, 2e4, 17)


@pytest.mark.parametrize("seed", range(12))
def test_update_agrees_with_a_new_solution(seed: int) -> None:
    small = small_of(linear_circuit(seed))
    nets = ["n0", "n1"]
    names = [name for name in small.names if "/" not in name]
    changes = [(name, small.parameter(name) * factor) for name in names for factor in (0.9, 10.0)]
    found = change_each(small, INPUT, nets, FREQUENCIES, changes)
    assert found.shape == (len(changes), len(FREQUENCIES), 2)
    for number, (name, value) in enumerate(changes):
        again = respond(small.with_changes({name: value}), INPUT, FREQUENCIES)
        for column, net in enumerate(nets):
            wanted = again.volts(net)
            error = np.abs(found[number, :, column] - wanted)
            assert (error <= 1e-10 * np.maximum(np.abs(wanted), 1e-6)).all(), (name, net)


def divider() -> Parts:
    return [
        source("input", "in"),
        resistor("R1", "in", "out", 1e4),
        resistor("R2", "out", GND, 4.7e3),
        capacitor("C1", "out", GND, 1e-8),
    ]


def test_open_and_short() -> None:
    small = linearise(compile_system(divider()), {})
    found = change_each(
        small, INPUT, ["out"], FREQUENCIES, [("R2", np.inf), ("R1", 0.0), ("C1", 0.0), ("C1", np.inf)]
    )
    s = 2j * np.pi * FREQUENCIES
    np.testing.assert_allclose(found[0, :, 0], 1 / (1 + s * 1e-4), rtol=1e-12)
    np.testing.assert_allclose(found[1, :, 0], 1.0, rtol=1e-12)
    np.testing.assert_allclose(found[2, :, 0], 4.7 / 14.7, rtol=1e-12)
    np.testing.assert_allclose(found[3, :, 0], 0.0, atol=1e-15)


def test_with_a_delayed_copy_in_the_loop() -> None:
    late = delay("U2", "out", "late", delay_s=0.05, gain=0.6)
    parts = [*divider(), late, resistor("R3", "late", "out", 2.2e4)]
    small = linearise(compile_system(parts), {})
    found = change_each(small, INPUT, ["out"], FREQUENCIES, [("R3", 4.7e4)])
    again = respond(small.with_changes({"R3": 4.7e4}), INPUT, FREQUENCIES)
    np.testing.assert_allclose(found[0, :, 0], again.volts("out"), rtol=1e-10)


def test_many_variants_agree_with_one_at_a_time() -> None:
    small = small_of(linear_circuit(5))
    rng = np.random.default_rng(1)
    names = [name for name in small.names if "/" not in name][:6]
    changes = {name: small.parameter(name) * rng.uniform(0.8, 1.2, 40) for name in names}
    found = respond_many(small, INPUT, FREQUENCIES, changes)
    assert found.ok.all() and found.volts("n1").shape == (40, len(FREQUENCIES))
    for variant in (0, 17, 39):
        one = small.with_changes({name: float(array[variant]) for name, array in changes.items()})
        wanted = respond(one, INPUT, FREQUENCIES).volts("n1")
        np.testing.assert_allclose(found.volts("n1")[variant], wanted, rtol=1e-10)


def test_unknown_names_are_refused() -> None:
    small = linearise(compile_system(divider()), {})
    with pytest.raises(KeyError):
        change_each(small, INPUT, ["out"], FREQUENCIES, [("R9", 1e3)])
    with pytest.raises(KeyError):
        respond_many(small, INPUT, FREQUENCIES, {"R9": np.ones(3)})
