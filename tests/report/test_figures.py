"""Figures for reading, axes, and files written whole."""

import math
from pathlib import Path

import numpy as np
import pytest

from pedalwright.report.axes import frequency_axis, level_axis, short_hz
from pedalwright.report.figures import disagreement, figure, percent, residual
from pedalwright.report.files import WouldOverwrite, write_whole
from pedalwright.report.sources import parted
from pedalwright.report.walk_document import plain_anchor, reading_order


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (None, "Hz", "not known"),
        (math.nan, "dB", "not known"),
        (math.inf, "ohm", "not known"),
        (-0.04, "dB", "0.0 dB"),
        (-6.04, "dB", "-6.0 dB"),
        (2.5e-3, "A", "2.5 mA"),
        (0.0, "V", "0 V"),
        (0.397, "x", "0.397 times"),
        (1200.0, "cents", "1200 cents"),
        (0.7071, "", "0.707"),
    ],
)
def test_a_figure_for_reading(value: float | None, unit: str, text: str) -> None:
    assert figure(value, unit) == text


@pytest.mark.parametrize(
    ("closed", "full", "unit", "text"),
    [
        (100.0, 90.0, "Hz", "10 %"),
        (-100.0, -90.0, "x", "10 %"),
        (100.0, 350.0, "Hz", "250 %"),
        (1.0, 1.0, "V", "under 0.01 %"),
        (-3.0, -3.5, "dB", "0.5 dB"),
        (0.0, 0.002, "V", "2 mV"),
        (0.0, 0.0, "V", "none"),
        (math.nan, 1.0, "V", "-"),
        (None, 1.0, "V", "-"),
    ],
)
def test_how_far_two_figures_are_apart(closed: float, full: float, unit: str, text: str) -> None:
    assert disagreement(closed, full, unit) == text


def test_small_shares_and_residuals() -> None:
    assert (percent(0.004), percent(-0.12), residual(0.0), residual(3.2e-15)) == (
        "0.4 %",
        "12 %",
        "0",
        "3e-15",
    )


@pytest.mark.parametrize("low", [-90.0, -7.0, 0.0, 3.0, 1e-9])
@pytest.mark.parametrize("span", [0.0, 0.3, 5.0, 60.0, 900.0])
@pytest.mark.parametrize("unit", ["dB", "°", "V"])
def test_an_axis_holds_its_values_between_few_round_ticks(low: float, span: float, unit: str) -> None:
    axis = level_axis([np.array([low, low + span])], unit)
    assert axis is not None
    assert 2 <= len(axis.ticks) <= 12
    assert axis.low == axis.ticks[0] and axis.high == axis.ticks[-1] and axis.low < axis.high
    assert axis.high >= low + span - 1e-9
    # A notch is followed 70 dB down and no further.
    assert axis.low <= (max(low, low + span - 70.0) if unit == "dB" else low) + 1e-9


def test_no_axis_for_what_is_not_finite() -> None:
    assert level_axis([np.array([np.nan, -np.inf])], "dB") is None
    assert level_axis([], "dB") is None


def test_ticks_of_a_frequency_axis() -> None:
    axis = frequency_axis(np.array([20.0, 20e3]))
    assert [short_hz(tick) for tick in axis.ticks] == [
        "20",
        "50",
        "100",
        "200",
        "500",
        "1k",
        "2k",
        "5k",
        "10k",
        "20k",
    ]


def test_publications_are_parted_from_formulas() -> None:
    assert parted("t = 29.70 ms + 11.46 ms per kohm: T. Wiltshire, 2015") == (
        "t = 29.70 ms + 11.46 ms per kohm",
        "T. Wiltshire, 2015",
    )
    sheet = "maker's data sheet, Echo Processor IC, V1.6"
    assert parted(sheet) == ("", sheet)
    assert parted("") == ("", "")


def test_designators_sort_as_they_are_read() -> None:
    assert sorted(["R10", "R2", "C1", "U1b", "U1a", "R"], key=reading_order) == [
        "C1",
        "R",
        "R2",
        "R10",
        "U1a",
        "U1b",
    ]


def test_an_anchor_is_never_empty() -> None:
    assert (plain_anchor("RC low-pass 1"), plain_anchor("音"), plain_anchor("")) == (
        "rc-low-pass-1",
        "x",
        "x",
    )


def test_a_file_is_written_whole(tmp_path: Path) -> None:
    goal = tmp_path / "out.html"
    assert write_whole(goal, "one\nµ").read_bytes() == "one\nµ".encode()
    goal.chmod(0o640)
    write_whole(goal, "two")
    assert goal.read_text() == "two"
    assert goal.stat().st_mode & 0o777 == 0o640
    assert [path.name for path in tmp_path.iterdir()] == ["out.html"]


def test_what_stood_there_stays_when_writing_fails(tmp_path: Path) -> None:
    goal = tmp_path / "out.html"
    goal.write_text("old")
    with pytest.raises(UnicodeEncodeError):
        write_whole(goal, "new \ud800")
    assert goal.read_text() == "old"
    assert [path.name for path in tmp_path.iterdir()] == ["out.html"]


def test_an_input_is_never_written_over(tmp_path: Path) -> None:
    circuit = tmp_path / "a.txt"
    circuit.write_text("mine")
    link = tmp_path / "b.html"
    link.symlink_to(circuit)
    for goal in (circuit, link, tmp_path / "x" / ".." / "a.txt"):
        with pytest.raises((WouldOverwrite, OSError)):
            write_whole(goal, "new", inputs=(circuit,))
    assert circuit.read_text() == "mine"


def test_folders_and_missing_folders_are_refused_by_name(tmp_path: Path) -> None:
    with pytest.raises(IsADirectoryError) as folder:
        write_whole(tmp_path, "x")
    with pytest.raises(FileNotFoundError) as missing:
        write_whole(tmp_path / "no" / "x.html", "x")
    assert str(tmp_path) in str(folder.value) and "x.html" in str(missing.value)


def test_a_device_is_written_to_and_not_replaced() -> None:
    write_whole("/dev/null", "gone")
    assert not Path("/dev/null").is_file()
