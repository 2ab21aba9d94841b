"""Many variants of one circuit at once, against one at a time."""

import numpy as np
import pytest

from pedalwright.solve.rest import operating_point, operating_points
from pedalwright.solve.system import compile_system
from tests.solve.parts import GND, Parts, amplifier, bipolar, diode, resistor, source


def stage(ohms: float = 56e3, beta: float = 200.0, supply_v: float = 9.0) -> Parts:
    return [
        source("V1", "VA", supply_v),
        resistor("R1", "VA", "b", ohms),
        resistor("R2", "b", GND, 1e4),
        resistor("R3", "VA", "c", 4.7e3),
        resistor("R4", "e", GND, 1e3),
        bipolar("Q1", "c", "b", "e", forward_beta=beta),
        resistor("R5", "c", "n", 1e5),
        resistor("R6", "n", "out", 2.2e5),
        amplifier("U1", "half", "n", "out"),
        resistor("R7", "VA", "half", 1e4),
        resistor("R8", "half", GND, 1e4),
        diode("D1", "out", "n"),
    ]


def test_each_variant_is_what_it_is_alone() -> None:
    rng = np.random.default_rng(2)
    count = 60
    ohms, beta = 56e3 * rng.uniform(0.5, 2.0, count), 200.0 * rng.uniform(0.3, 3.0, count)
    supply_v = rng.uniform(3.0, 12.0, count)
    system = compile_system(stage())
    found = operating_points(system, {"R1": ohms, "Q1.forward_beta": beta, "V1": supply_v})
    assert found.ok.all()
    assert found.volts("c").shape == (count,)
    for k in range(count):
        alone = operating_point(compile_system(stage(ohms[k], beta[k], supply_v[k])))
        for net in ("b", "c", "e", "out"):
            assert found.volts(net)[k] == pytest.approx(alone.volts(net), rel=1e-8, abs=1e-9), (k, net)


def test_far_variants_take_another_way_and_say_so() -> None:
    system = compile_system(stage())
    found = operating_points(system, {"V1": np.array([9.0, 0.0, 30.0]), "R4": np.array([1e3, 1.0, 1e6])})
    assert found.ok.all()
    assert len(found.methods) == 3
    assert abs(found.volts("c")[1]) < 1e-3


def test_a_single_value_serves_all_variants() -> None:
    system = compile_system(stage())
    found = operating_points(system, {"R1": np.array([56e3]), "R2": np.array([1e4, 1.2e4])})
    assert found.volts("b").shape == (2,)


def test_refusals() -> None:
    system = compile_system(stage())
    with pytest.raises(KeyError):
        operating_points(system, {"R99": np.ones(2)})
    with pytest.raises(KeyError):
        operating_points(system, {"Q1.colour": np.ones(2)})
    with pytest.raises(ValueError, match="unlike length"):
        operating_points(system, {"R1": np.ones(2), "R2": np.ones(3)})


def test_what_has_no_solution_is_nan() -> None:
    system = compile_system([source("V1", "a", 5.0), source("V2", "a", 5.0), resistor("R1", "a", GND, 1e3)])
    found = operating_points(system, {"R1": np.array([1e3, 2e3])})
    assert not found.ok.any()
    assert np.isnan(found.volts("a")).all()
