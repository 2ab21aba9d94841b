"""Knobs of echoes and oscillators against the maker's table, the loop's own gain and closed forms."""

import numpy as np
import pytest

from pedalwright import read_text
from pedalwright.analysis.knob_echo import loop_gain
from pedalwright.analysis.knob_heard import chips_of, usual_band
from pedalwright.analysis.knob_sweep import swept
from pedalwright.analysis.knob_track import halves_at, law_of
from pedalwright.analysis.memo import Analysis
from pedalwright.echo.cut import cut
from pedalwright.echo.loop import loop_of
from pedalwright.echo.repeats import worst_gain
from pedalwright.echo.taps import taps
from pedalwright.report.knobs_document import knobs_document
from pedalwright.report.markdown_page import markdown_page

from .knob_circuits import CIRCUITS, circuit, first, one


def test_the_delay_follows_the_makers_table() -> None:
    """2k2 and the track to ground: 2.2 kohm lies between 2.0 and 2.4 kohm, 52.3 and 56.6 ms (data sheet)."""
    heard = first(circuit("lantern-echo"), "TIME")
    assert 0.0523 < heard.at_0 < 0.0566
    assert heard.at_10 == pytest.approx(0.0297 + 11.46e-6 * 52.2e3, rel=0.01)
    assert heard.spreading is not None and heard.spreading.evenness > 0.95


def test_a_track_a_fifth_larger_makes_the_delay_longer_at_10_only() -> None:
    heard = first(circuit("lantern-echo"), "TIME")
    found = heard.tolerance
    assert found is not None
    assert found.smaller[0] == pytest.approx(found.larger[0], rel=1e-6)
    assert found.smaller[10] < heard.at_10 < found.larger[10]
    assert found.larger[10] == pytest.approx(0.0297 + 11.46e-6 * 62.2e3, rel=0.01)


def test_repeats_are_those_of_the_loop_gain_once_round() -> None:
    """Without end exactly where the loop gain reaches one: the pad before the mixer made small enough."""
    text = (CIRCUITS / "lantern-echo.pedal").read_text(encoding="utf-8").replace("R17 30k", "R17 22k")
    answer = one(read_text(text), "REPEATS")
    counts = answer.heard[0].values
    assert np.isinf(counts[-1]) and np.isfinite(counts[0])
    assert np.all(np.diff(counts[np.isfinite(counts)]) > 0)
    page = markdown_page(knobs_document("x", (answer,), ""))
    assert "no end" in page and "turn the amplifier down" in page


@pytest.mark.parametrize(("name", "ref"), [("lantern-echo", "REPEATS"), ("grainloft-reverb", "DECAY")])
def test_loop_gains_are_those_of_the_loop_cut_at_its_delays(name: str, ref: str) -> None:
    """Two ways to the same figure: knobs as low-rank changes, and each position cut at its chips anew."""
    analysis = circuit(name)
    part, band = analysis.circuit.by_ref[ref], usual_band(analysis)
    assert band is not None
    chips, dial = chips_of(analysis, band), np.array([0.0, 4.0, 10.0])
    ways = taps(chips, analysis.primitives, band.small)
    halves = halves_at(part.value or 0.0, law_of(part), dial / 10)
    columns = [band.row(way.decoder) for way in ways]
    found = loop_gain(swept(analysis, part, halves, band, columns), ways)
    for place, position in enumerate(dial):
        alone = Analysis(analysis.circuit.with_settings({ref: float(position)}))
        assert alone.small is not None
        whole = cut(alone.small, taps(chips, alone.primitives, alone.small), input_net="IN", output_net="OUT")
        gains = np.full(len(chips), 10 ** (-0.5 / 20))
        loop = loop_of(whole, np.full(len(chips), 0.1), gains, band.frequency_hz)
        assert found[place] == pytest.approx(worst_gain(loop).max(), rel=1e-9)


def test_the_rate_of_a_triangle_is_its_closed_form() -> None:
    """f = R2/(4 R3 R C) (Floyd, Electronic Devices, ch. 16): 100k/(4 x 47k x (100k + RATE) x 1u)."""
    heard = first(circuit("duckpond-chorus"), "RATE")
    assert heard.at_10 == pytest.approx(100e3 / (4 * 47e3 * 100e3 * 1e-6), rel=1e-4)
    assert heard.at_0 == pytest.approx(100e3 / (4 * 47e3 * 1.1e6 * 1e-6), rel=1e-4)
