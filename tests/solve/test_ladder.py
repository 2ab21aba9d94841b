"""Every way to a rest point leads to the same one, so the last resorts are known to work before they are
needed."""

import numpy as np
import pytest

from pedalwright.solve.equations import equations
from pedalwright.solve.ladder import COLD, Settings, Way, climb, first_state, quality
from pedalwright.solve.rest import ROOM_K
from pedalwright.solve.system import compile_system
from tests.solve.parts import GND, Parts, amplifier, bipolar, capacitor, diode, resistor, source


def overdrive() -> Parts:
    """A transistor stage into an amplifier whose output is hard against its rail, with diodes beside it."""
    return [
        source("V1", "VA", 9.0),
        resistor("R1", "VA", "b", 56e3),
        resistor("R2", "b", GND, 1e4),
        resistor("R3", "VA", "c", 4.7e3),
        resistor("R4", "e", GND, 1e3),
        bipolar("Q1", "c", "b", "e"),
        resistor("R5", "c", "n", 1e4),
        resistor("R6", "n", "out", 1e6),
        amplifier("U1", "e", "n", "out"),
        resistor("R7", "out", "x", 2.2e3),
        diode("D1", "x", GND),
        diode("D2", GND, "x"),
        capacitor("C1", "x", GND, 1e-8),
    ]


@pytest.mark.parametrize("way", COLD, ids=lambda way: way.name)
def test_each_way_leads_to_the_same_point(way: Way) -> None:
    batch = equations(compile_system(overdrive()), {}, ROOM_K)
    wanted = climb(batch, first_state(batch), COLD, Settings()).state.x
    with np.errstate(all="ignore"):
        state = way.run(batch, first_state(batch), Settings())
    found, residual, step = quality(batch, state)
    assert residual[0] <= 1e-9 and step[0] <= 1e-6
    np.testing.assert_allclose(found, wanted, rtol=1e-8, atol=1e-10)
    assert found[0, batch.system.row("out")] == pytest.approx(1.5, abs=1e-3)


def test_every_loop_is_bounded() -> None:
    """With almost no steps allowed the answer is bad, but it comes, and says that it is bad."""
    batch = equations(compile_system(overdrive()), {}, ROOM_K)
    few = Settings(
        steps_straight=1,
        steps_each=1,
        conductance_decades=1,
        source_steps=1,
        inertia_steps=2,
        steps_of_inertia=1,
    )
    solved = climb(batch, first_state(batch), COLD, few)
    assert not solved.state.settled[0]
    assert np.isfinite(solved.state.x).all()
