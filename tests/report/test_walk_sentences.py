"""What is said at a glance and about a stage's gain, from a walk made by hand."""

from dataclasses import replace

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.walk import walk
from pedalwright.notation import read_text
from pedalwright.report.walk_document import stage_headings
from pedalwright.report.walk_sentences import glance, loading, opening
from pedalwright.stages.stage import Number

from .made_by_hand import FILTER, WALK


def with_gain(closed: float, full: float, unit: str, name: str = "mid-band gain") -> tuple[str, ...]:
    number = Number(name=name, unit=unit, closed=closed, full=full, source="")
    return loading(replace(FILTER, numbers=(number,)))


def test_a_gain_that_loading_changes_by_a_tenth_is_explained() -> None:
    assert with_gain(-64.8, -32.9, "x") == (
        "With what follows attached, the mid-band gain is -32.9 times instead of -64.8 times.",
    )
    assert len(with_gain(-0.1, -1.1, "dB", "gain at 1 kHz")) == 1
    assert with_gain(2.0, 1.9, "x") == with_gain(6.0, 5.5, "dB") == ()


def test_the_first_repeat_stands_beside_the_dry_sound() -> None:
    rows = dict(glance(WALK))
    assert rows["gain at 1 kHz, jack to jack, dry sound"] == "-0.4 dB"
    assert rows["gain at 1 kHz, jack to jack, first repeat"] == "-6.4 dB"
    without = dict(glance(replace(WALK, overall=replace(WALK.overall, repeats_db=()))))
    assert "gain at 1 kHz, jack to jack" in without


def test_a_very_deep_notch_is_given_no_depth() -> None:
    dips = (replace(WALK.overall.dips[0], depth_db=81.0),)
    said = opening(replace(WALK, overall=replace(WALK.overall, dips=dips)))
    assert "more than 60 dB deep" in said[-1]


def test_stages_that_share_a_title_go_by_their_first_part() -> None:
    filters = tuple(
        replace(FILTER, name=ref, parts=(replace(FILTER.parts[0], ref=ref),))
        for ref in ("R1", "R16", "U2/input-filter")
    )
    headings = stage_headings(replace(WALK, stages=filters))
    assert list(headings.values()) == [f"{FILTER.title} R1", f"{FILTER.title} R16", "Input filter of U2"]


def test_what_a_circuit_does_not_have_is_told_once() -> None:
    told = walk(Analysis(read_text('pedal "Bare"\nA > R1 10k > B > C1 10n > gnd\n')))
    rows = dict(glance(told))
    assert not [name for name, value in rows.items() if value == "not known"]
    assert not [name for name in rows if "jack" in name or "corner" in name]
    assert sum("names no input and no output" in note for note in told.overall.notes) == 1
    assert not [level for stage in told.stages for level in stage.levels]
