"""The corner of a bias filter: 1/(2 pi R C) with the resistors that make the resting voltage side by side."""

from math import pi

import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.circuits import text
from pedalwright.notation import read_text
from pedalwright.stages.recognise import kind_of, stage_kinds


def corners(circuit: str) -> dict[str, float | None]:
    analysis = Analysis(read_text(circuit))
    return {
        stage.with_role("bias filter capacitor")[0]: number.closed
        for stage in analysis.stages.stages
        if stage.kind == "bias-filter"
        for number in kind_of(stage).numbers(stage, analysis.bench)
        if number.name == "corner"
    }


def test_a_knob_that_hangs_on_the_resting_voltage_does_not_count() -> None:
    """Two resistors of 10 kohm and 100 uF: Thevenin's theorem gives 5 kohm."""
    assert corners(text("ferryman-phaser"))["C4"] == pytest.approx(1 / (2 * pi * 5e3 * 100e-6))


def test_a_resistor_from_another_resting_voltage_counts() -> None:
    """10 kohm and 22 uF; the divider before it stands behind 10 kohm and is not the capacitor's own."""
    kind = next(kind for kind in stage_kinds() if kind.kind == "bias-filter")
    assert corners(kind.examples[0].text)["C1"] == pytest.approx(1 / (2 * pi * 10e3 * 22e-6))
