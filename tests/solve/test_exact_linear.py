"""Random linear circuits against an exact solution.

Source: nodal analysis in 50-digit arithmetic by mpmath (tests/solve/exact.py), written apart from the
solver's stamps.
"""

import numpy as np
import pytest

from pedalwright.solve.linear import linearise
from pedalwright.solve.response import Drive, respond
from pedalwright.solve.rest import operating_point
from pedalwright.solve.system import compile_system
from tests.solve.exact import exact_volts
from tests.solve.random_circuits import linear_circuit

CIRCUITS = 300
BATCH = 50


@pytest.mark.parametrize("first", range(0, CIRCUITS, BATCH))
def test_every_net_agrees_with_exact_arithmetic(first: int) -> None:
    for seed in range(first, first + BATCH):
        parts = linear_circuit(seed)
        system = compile_system(parts)
        small = linearise(system, operating_point(system))
        frequency = float(np.random.default_rng(seed).choice([20.0, 150.0, 997.0, 5e3, 2e4]))
        found = respond(small, Drive(source="input"), np.array([frequency]))
        wanted = exact_volts(parts, "input", frequency)
        assert found.certificate.ok, seed
        for net, volts in wanted.items():
            assert abs(found.volts(net)[0] - volts) <= 1e-9 * max(abs(volts), 1e-8), (seed, net)


def test_many_frequencies_at_once_are_the_same_as_one_at_a_time() -> None:
    frequencies = np.geomspace(5.0, 5e4, 41)
    for seed in range(12):
        parts = linear_circuit(seed)
        system = compile_system(parts)
        small = linearise(system, operating_point(system))
        together = respond(small, Drive(source="input"), frequencies)
        for place in (0, 20, 40):
            wanted = exact_volts(parts, "input", float(frequencies[place]))
            for net, volts in wanted.items():
                assert together.volts(net)[place] == pytest.approx(volts, rel=1e-9, abs=1e-18), (seed, net)
