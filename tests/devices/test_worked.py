"""Every device's worked circuits: textbook and data-sheet voltages, through the notation and the solver.

The source of each expectation stands beside it in the device's own file.
"""

import pytest

from pedalwright.devices.catalogue import devices, expand_circuit
from pedalwright.devices.device import Worked
from pedalwright.notation import read_text
from pedalwright.solve.rest import operating_point
from pedalwright.solve.system import compile_system

WORKED = [
    pytest.param(worked, id=f"{entry.kind}-{number}")
    for entry in devices()
    for number, worked in enumerate(entry.worked, start=1)
]


@pytest.mark.parametrize("worked", WORKED)
def test_worked_circuit_shows_the_voltages_of_its_source(worked: Worked) -> None:
    system = compile_system(expand_circuit(read_text(worked.text)))
    rest = operating_point(system)
    for net, volts in worked.volts.items():
        assert rest.volts(net) == pytest.approx(volts, abs=worked.within_v), worked.source


def test_every_device_has_a_worked_circuit_with_a_source() -> None:
    assert [entry.kind for entry in devices() if not entry.worked] == []
    assert all(worked.source and worked.volts for entry in devices() for worked in entry.worked)
