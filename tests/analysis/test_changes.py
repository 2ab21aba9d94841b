"""The short cuts behind "one step larger" give what solving each changed circuit afresh gives."""

import numpy as np
import pytest

from pedalwright.analysis.effects import rest_points, trials_of
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.moved_bias import moved_parameters
from pedalwright.analysis.steps import neighbours
from pedalwright.circuits import text
from pedalwright.notation import read_text
from pedalwright.solve.band import Band, band_hz
from pedalwright.solve.changed_table import ChangedTable

CIRCUITS = ("lantern-echo", "plumtree-fuzz", "doorbell-booster", "windowsill-tone")


@pytest.mark.parametrize("name", CIRCUITS)
def test_a_changed_part_gives_the_table_of_the_circuit_solved_afresh(name: str) -> None:
    analysis = Analysis(read_text(text(name)))
    assert analysis.small is not None
    band = Band(analysis.small, band_hz()[::8])
    parts = analysis.circuit.parts
    trials = [trial for part in parts for trial in trials_of(analysis, part, neighbours(part) or ())]
    rests = rest_points(analysis, trials)
    bias = moved_parameters(analysis.small, rests)
    known = analysis.system.rows
    nets = [net for net in analysis.circuit.nets if net in known and net not in analysis.rest.floating]
    rows = [band.row(net) for net in nets]
    for place in range(0, len(trials), 5):
        trial = trials[place]
        fresh = Analysis(analysis.circuit.with_value(trial.part.ref, trial.value))
        assert fresh.small is not None
        expected = Band(fresh.small, band.frequency_hz).between(nets, nets)
        found = ChangedTable(band, {**trial.changes, **bias[place]}).at(rows, rows)
        scale = np.abs(expected).max()
        assert np.abs(found - expected).max() / scale < 2e-3, trial.part.ref
        for net in nets[1:]:
            assert float(rests.volts(net)[place]) == pytest.approx(fresh.rest.volts(net), abs=1e-6)


def test_a_resistor_doubled_moves_the_gain_by_six_decibels() -> None:
    analysis = Analysis(read_text(text("lantern-echo")))
    assert analysis.small is not None
    band = Band(analysis.small, np.array([1000.0]))
    before = band.table[0, band.row("OUT"), band.small.system.branches["input"]]
    changed = ChangedTable(band, {"R19": 200e3})
    after = changed.at([band.row("OUT")], [band.small.system.branches["input"]])[0, 0, 0]
    assert 20 * np.log10(abs(after / before)) == pytest.approx(-6.02, abs=0.05)
