"""The noise as a document: every figure is one of the record's, and what is not known is not told."""

from dataclasses import replace
from functools import cache

import numpy as np

from pedalwright import circuits, read_text
from pedalwright.analysis.noise import NoiseAnswers, noise_answers
from pedalwright.report.blocks import Entries, Paragraph, Plots, Points, Section, Table
from pedalwright.report.figures import figure
from pedalwright.report.noise_document import MOST_ROWS, noise_document
from pedalwright.report.noise_json import noise_data
from pedalwright.report.noise_sentences import level, loop_sentence, opening


@cache
def told(name: str = "lantern-echo") -> NoiseAnswers:
    return noise_answers(read_text(circuits.text(name)))


def section(answers: NoiseAnswers, anchor: str) -> Section:
    return next(one for one in noise_document(answers).sections if one.anchor == anchor)


def test_the_opening_holds_the_chosen_figures() -> None:
    chosen = told().chosen
    assert chosen is not None
    first, second, *_ = opening(told())
    assert figure(chosen.weighted_v, "V") in first and level(chosen.weighted_v) in first
    assert figure(chosen.unweighted_v, "V") in first
    assert f"{chosen.signal_to_noise_db:.0f} dB below" in second


def test_the_loudest_are_listed_and_the_rest_is_summed() -> None:
    (table,) = section(told(), "who").blocks
    assert isinstance(table, Table)
    assert len(table.rows) == MOST_ROWS + 1
    assert [row[0] for row in table.rows[:MOST_ROWS]] == [one.name for one in told().contributors[:MOST_ROWS]]
    others = told().contributors[MOST_ROWS:]
    assert table.rows[-1][0] == f"{len(others)} others"
    assert table.rows[-1][2] == figure(float(np.hypot.reduce([one.weighted_v for one in others])), "V")


def test_every_cure_is_told_with_its_price() -> None:
    entries = next(block for block in section(told(), "help").blocks if isinstance(block, Entries))
    assert [one.name for one in entries.items] == [cure.says for cure in told().cures]
    for entry, cure in zip(entries.items, told().cures, strict=True):
        assert entry.label == f"{cure.better_db:.1f} dB better"
        assert set(cure.side_effects) <= set(entry.texts)


def test_without_a_cure_that_is_said() -> None:
    bare = replace(told(), cures=(), left_aside=(), together=None)
    said = [block.text for block in section(bare, "help").blocks if isinstance(block, Paragraph)]
    assert any(text.startswith("Nothing that was tried") for text in said)


def test_an_echo_without_return_is_said_to_build_nothing_up() -> None:
    assert "no noise builds up" in loop_sentence(told("duckpond-chorus"))
    assert "builds the noise up" in loop_sentence(told())
    assert loop_sentence(told("windowsill-tone")) == ""
    assert all(one.anchor != "echo" for one in noise_document(told("windowsill-tone")).sections)


def test_the_spectrum_is_in_nanovolts_over_decades() -> None:
    (block,) = section(told(), "spectrum").blocks
    assert isinstance(block, Plots)
    (plot,) = block.items
    assert (plot.unit, plot.by_ratio) == ("nV/√Hz", True)
    assert np.allclose(plot.lines[0].values, told().density_v_per_rthz * 1e9)


def test_a_refusal_stands_alone() -> None:
    refused = replace(
        told(),
        inputs=tuple(
            replace(one, weighted_v=None, unweighted_v=None, signal_to_noise_db=None, refusal="No.")
            for one in told().inputs
        ),
        contributors=(),
        cures=(),
        left_aside=(),
        together=None,
        loop=None,
        chips=(),
        frequency_hz=np.zeros(0),
        density_v_per_rthz=np.zeros(0),
        refusals=("No.",),
    )
    document = noise_document(refused)
    assert [one.anchor for one in document.sections] == ["glance", "trust"]
    assert any(isinstance(block, Paragraph) and block.text == "No." for block in document.sections[0].blocks)
    assert noise_data(refused)["frequency_hz"] == []
    assert noise_data(refused)["sound"] is False


def test_the_conditions_are_all_told() -> None:
    (points, _) = section(told(), "trust").blocks
    assert isinstance(points, Points)
    assert set(told().conditions) <= set(points.items)
