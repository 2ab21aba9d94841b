"""The echo inside a walk-through, against the maker's table and application circuit and against `repeats`."""

from math import log10

import pytest

from pedalwright import circuits
from pedalwright.analysis.echo_answers import echo_answers
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.records import Walk, WalkEcho
from pedalwright.analysis.walk import walk
from pedalwright.notation import read_text
from pedalwright.report.markdown_page import markdown_page
from pedalwright.report.walk_document import walk_document
from pedalwright.report.walk_json import walk_data

from .circuits import APPLICATION_DELAY, APPLICATION_ECHO

LANTERN = circuits.text("lantern-echo")


def told(text: str) -> Walk:
    return walk(Analysis(read_text(text), text))


def echo_of(found: Walk) -> WalkEcho:
    assert found.echo is not None
    return found.echo


def beside(found: Walk, kind: str) -> str:
    return " ".join(said for stage in found.stages if stage.kind == kind for said in stage.beside)


@pytest.fixture(scope="module")
def lantern() -> Walk:
    return told(LANTERN)


@pytest.fixture(scope="module")
def application() -> Walk:
    return told(APPLICATION_ECHO)


def test_delay_and_its_range_are_those_of_the_table(lantern: Walk) -> None:
    (chip,) = echo_of(lantern).chips
    # Maker's data sheet V1.6, table 1: 21.3 k 273 ms, 27.6 k 342 ms; 2 k 52.3 ms, 2.4 k 56.6 ms.
    assert chip.delay_s == pytest.approx(0.273 + (0.342 - 0.273) * (27.2 - 21.3) / (27.6 - 21.3), rel=1e-3)
    assert chip.shortest_s == pytest.approx(0.0523 + (0.0566 - 0.0523) * 0.2 / 0.4, rel=1e-3)
    # T. Wiltshire, Useful design equations, 2015: 29.70 ms and 11.46 ms for every kilohm, far from the table.
    assert chip.longest_s == pytest.approx(29.70e-3 + 11.46e-3 * 52.2, rel=2e-3)
    assert chip.low_s < chip.delay_s < chip.high_s


def test_stopper_and_its_reasons_stand_at_the_time_pin(lantern: Walk) -> None:
    said = beside(lantern, "delay-time-network")
    assert "R12 must not be smaller" in said
    assert "1 kΩ (data sheet, note 5)" in said and "2 kΩ (common practice, no source)" in said


@pytest.mark.parametrize(
    ("stopper", "start"),
    [("2k2", "sure"), ("1k5", "risky"), ("470", "fails")],
    ids=["sure", "risky", "fails"],
)
def test_the_start_is_judged_by_the_least_the_knob_leaves(stopper: str, start: str) -> None:
    found = told(LANTERN.replace("R12 2k2", f"R12 {stopper}"))
    (chip,) = echo_of(found).chips
    assert chip.start == start
    assert ("sure to start" in beside(found, "delay-time-network")) == (start == "sure")


def test_the_makers_loop_gain_at_the_repeats_knob(application: Walk) -> None:
    (knob,) = echo_of(application).knobs
    # Maker's echo circuit (data sheet page 2) fully up with typical chips (-0.5 dB): 0.847, -1.44 dB.
    assert knob.fully_up == pytest.approx(0.847, rel=5e-3)
    assert knob.fully_up_margin_db == pytest.approx(1.44, abs=0.05)
    # Its largest chip gain, +2.5 dB, runs away (1.196), so some builds must, and most must not.
    assert 0 < knob.share_running_away < 0.5


def test_the_makers_knob_grounds_the_repeats_and_that_is_said(application: Walk) -> None:
    (knob,) = echo_of(application).knobs
    assert knob.wet_change_db is not None and knob.wet_change_db > 30
    said = beside(application, "feedback-path")
    assert "does take the delayed sound itself away" in said and "never the delayed sound" not in said


def test_lanterns_knob_never_grounds_the_wet_path(lantern: Walk) -> None:
    (knob,) = echo_of(lantern).knobs
    assert knob.wet_change_db is not None and knob.wet_change_db < 3
    assert "grounds what goes back, never the delayed sound" in beside(lantern, "feedback-path")


def test_repeats_of_the_makers_circuit_come_back_in_step(application: Walk) -> None:
    # Two inverting filters and a converter that does not invert: the loop is positive.
    assert echo_of(application).side == 1


def test_turning_the_wet_path_over_is_noticed(lantern: Walk) -> None:
    """The dry sound through an inverter of its own, in place of DRY at the mixer."""
    text = LANTERN.replace(
        "DRY > R19 100k > U1b.inv", "DRY > R91 10k > U9.inv > R92 10k > U9.out > R19 100k > U1b.inv"
    ).replace("knob     TIME", "part     U9 opamp TL071  v+=VA v-=gnd\nknob     TIME")
    turned = told(text + "\nU9.non > VB\n")
    assert echo_of(turned).side == -(echo_of(lantern).side or 0) != 0


def test_weights_are_the_ratio_of_the_resistors(lantern: Walk) -> None:
    (mix,) = echo_of(lantern).mixes
    assert (mix.dry_parts, mix.wet_parts) == (("R19",), ("R18",))
    # An inverting adder (Coughlin and Driscoll, ch. 3) weighs by one over the resistor; 1 uF and 100 pF at
    # 1 kHz take less than 1 %.
    assert mix.wet_weight / mix.dry_weight == pytest.approx(100 / 33, rel=0.01)
    assert mix.dry_weight == pytest.approx(51 / 100, rel=0.01)
    assert "the smaller resistor gives the repeats" in beside(lantern, "summing-mixer")


def test_levels_at_the_output_are_levels_at_the_mixer_times_the_weights(lantern: Walk) -> None:
    echo = echo_of(lantern)
    (mix,) = echo.mixes
    made_up = 20 * log10(mix.wet_weight / mix.dry_weight)
    # Levels at the mixer are those of the walk's own grid, whose nearest frequency is not quite 1 kHz.
    assert echo.against_dry_db == pytest.approx(mix.wet_level_db - mix.dry_level_db + made_up, abs=0.1)


def test_an_equal_resistor_is_given_no_reason() -> None:
    found = told(LANTERN.replace("R18 33k", "R18 100k"))
    assert "the smaller resistor" not in beside(found, "summing-mixer")
    assert "Weights:" in beside(found, "summing-mixer")


@pytest.mark.parametrize("name", ["lantern-echo", "grainloft-reverb", "duckpond-chorus"])
def test_it_agrees_with_the_whole_answer(name: str) -> None:
    """Fewer frequencies and builds, the same circuit: typical figures must not differ."""
    text = circuits.text(name)
    analysis = Analysis(read_text(text), text)
    brief, whole = echo_of(walk(analysis)), echo_answers(analysis, 3, 20)
    assert whole is not None and brief.heard == whole.silent_after
    assert brief.against_dry_db == pytest.approx(whole.repeats[0].against_dry_db, abs=0.02)
    assert brief.side == whole.repeats[0].polarity * whole.dry_polarity
    for short, full in zip(brief.knobs, whole.repeats_knobs, strict=True):
        assert short.comes_back == pytest.approx(full.runaway.now.gain, rel=1e-9)
        assert short.fully_up == pytest.approx(full.runaway.full.gain, rel=1e-9)


def test_one_repeat_alone_cannot_run_away() -> None:
    found = told(APPLICATION_DELAY)
    echo = echo_of(found)
    assert not echo.comes_again and echo.knobs == () and echo.heard == 1
    assert "cannot run away" in beside(found, "echo-chip")
    assert echo.against_dry_db is None  # the maker's delay circuit has no dry sound


def test_a_leak_is_no_way_back() -> None:
    """The shared supply leads a trace of the delayed sound back, far below hearing: no repeats."""
    echo = echo_of(told(circuits.text("duckpond-chorus")))
    assert not echo.comes_again and echo.knobs == ()


def test_without_a_repeats_knob_they_are_still_told() -> None:
    text = LANTERN.replace("knob     REPEATS 100k linear  at 5\n", "").replace("ECHO > REPEATS.3\n", "")
    text = text.replace("REPEATS.1 > gnd\n", "").replace("R17 30k > REPEATS.2", "R17 68k > ECHO")
    found = told(text)
    assert echo_of(found).comes_again
    assert sum("less than 60 dB below" in said for stage in found.stages for said in stage.beside) == 1


def test_without_an_echo_chip_there_is_nothing_to_tell() -> None:
    found = told(circuits.text("kilnhouse-drive"))
    assert found.echo is None and walk_data(found)["echo"] is None
    assert all(stage.beside == () for stage in found.stages)


def test_a_refusal_is_said_in_every_medium() -> None:
    found = told(LANTERN.replace("TIME.2 > TIME.3 > gnd", "TIME.2 > TIME.3 > NOWHERE"))
    (refusal,) = echo_of(found).refusals
    assert "clock of U2" in refusal
    assert markdown_page(walk_document(found)).count("No echo is told") == 2
    assert walk_data(found)["echo"]["refusals"] == [refusal]


def test_at_a_glance(lantern: Walk) -> None:
    page = markdown_page(walk_document(lantern))
    for name in (
        "delay",
        "first repeat against dry sound",
        "repeats until 60 dB down",
        "margin to running away",
    ):
        assert name in page
