"""Currents and heat of the parts in the supply, against Ohm's law and the energy that goes in."""

import pytest

from pedalwright.analysis.echo_answers import echo_answers
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.records import Walk
from pedalwright.analysis.rooms import rooms_at
from pedalwright.analysis.walk import walk
from pedalwright.circuits import text
from pedalwright.notation import read_text


@pytest.fixture(scope="module")
def analysis() -> Analysis:
    return Analysis(read_text(text("lantern-echo")))


@pytest.fixture(scope="module")
def told(analysis: Analysis) -> Walk:
    return walk(analysis)


def figure(told: Walk, name: str) -> float | None:
    return next(number.full for stage in told.stages for number in stage.numbers if number.name == name)


def test_the_supply_resistor_follows_ohms_law(analysis: Analysis, told: Walk) -> None:
    amperes = (analysis.rest.volts("VP") - analysis.rest.volts("VA")) / 100.0
    assert figure(told, "current through R1") == pytest.approx(amperes, rel=1e-6)


def test_the_series_diode_carries_what_the_supply_gives(analysis: Analysis, told: Walk) -> None:
    """Kirchhoff's current law: nothing but the diode hangs on the supply's net."""
    ((_, given),) = told.overall.supply_a
    assert figure(told, "current through D1") == pytest.approx(given, rel=1e-3)


def test_the_regulator_turns_the_voltage_it_takes_into_heat(analysis: Analysis, told: Walk) -> None:
    drop, amperes = analysis.rest.volts("VP") - analysis.rest.volts("V5"), figure(told, "current through U3")
    assert amperes is not None
    assert figure(told, "heat in U3") == pytest.approx(drop * amperes, rel=1e-6)


def test_the_lamp_is_told_its_solved_current(analysis: Analysis, told: Walk) -> None:
    resistor = next(part for part in analysis.circuit.parts if part.ref == "R2")
    ends = [analysis.rest.volts(net) for net in resistor.nets]
    assert figure(told, "current when lit") == pytest.approx(abs(ends[0] - ends[1]) / 4700.0, rel=1e-6)


def test_voltages_at_rest_come_in_the_order_of_the_walk(told: Walk) -> None:
    nets = [net.removeprefix("~") for net, _ in told.rest_volts]
    assert nets[:2] == ["gnd", "VIN"]
    assert [net for net in nets if net in ("IN", "DRY", "U2.12", "WET", "ECHO", "VP")] == [
        "VP",
        "IN",
        "DRY",
        "U2.12",
        "WET",
        "ECHO",
    ]
    assert len(set(nets)) == len(nets)


def test_a_collector_switches_off_to_the_rail_behind_its_resistor() -> None:
    """Behind the series diode and the supply resistor the rail is lower than the battery."""
    analysis = Analysis(read_text(text("plumtree-fuzz")))
    rest = analysis.rest
    for net in ("Q1.c", "Q2.c"):
        named = next(known for known in analysis.circuit.nets if known.removeprefix("~") == net)
        (room,) = rooms_at(analysis, named)
        assert room.most_v == pytest.approx(rest.volts("VA") - rest.volts(named), abs=1e-6)
        assert rest.volts("VA") < rest.volts("VIN") - 0.1


def test_the_output_is_told_against_the_input_jack_everywhere() -> None:
    """The same reference at a glance and in the changes: jack to jack."""
    told = walk(Analysis(read_text(text("plumtree-fuzz"))))
    gain_db = told.overall.gain_db
    said = [
        change
        for stage in told.stages
        for part in stage.parts
        for effect in (part.larger, part.smaller)
        if effect is not None
        for change in effect.changes
        if change.startswith("the output") and "at every pitch" in change
    ]
    assert gain_db is not None and said
    assert all(f"({gain_db:+.1f} to " in change for change in said)


def test_the_first_repeat_at_a_glance_is_that_of_the_repeats_solved_as_a_loop(
    analysis: Analysis, told: Walk
) -> None:
    """Two ways: superposition at rest here, the loop of the cut circuit there."""
    ((chip, level_db),) = told.overall.repeats_db
    answers = echo_answers(analysis, count=1, builds=2)
    assert chip == "U2" and answers is not None
    assert level_db == pytest.approx(answers.repeats[0].level_db, abs=0.15)
