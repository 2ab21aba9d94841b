"""Margins over the supply's range, and what asking about power brings with it."""

import subprocess
import sys

import pytest

from pedalwright import circuits
from pedalwright.analysis.power import headrooms
from tests.analysis.power.circuits_by_hand import CHIP, analysis


def test_a_regulator_s_headroom_is_its_input_less_6_7_volts() -> None:
    # 5 V and 1.7 V typical dropout: Wing Shing 78L05 sheet.
    text = CHIP.replace("supply VIN 9V wall", "supply VIN 9V wall 7V..12V")
    found = next(one for one in headrooms(analysis(text)) if one.rule == "regulator headroom")
    assert (found.volts.least, found.volts.typical, found.volts.most) == pytest.approx(
        (0.3, 2.3, 5.3), abs=1e-6
    )


def test_a_supply_that_sinks_too_far_shows_as_a_negative_margin() -> None:
    text = CHIP.replace("supply VIN 9V wall", "supply VIN 9V wall 6V..9.6V")
    found = headrooms(analysis(text))
    assert found[0].volts.least < 0.0
    assert [one.volts.least for one in found] == sorted(one.volts.least for one in found)
    chip = next(one for one in found if one.rule == "least supply")
    # 6 V - 1.7 V leave 4.3 V of the 4.5 V recommended (maker's data sheet, page 5).
    assert chip.volts.least == pytest.approx(-0.2, abs=0.02)


def test_signals_are_asked_for_by_name() -> None:
    lantern = analysis(circuits.text("lantern-echo"))
    plain = {one.rule for one in headrooms(lantern)}
    assert plain == {"regulator headroom", "least supply", "input room"}
    assert {one.rule for one in headrooms(lantern, signals=True)} == plain | {"signal room"}
    assert headrooms(analysis(circuits.text("three-shelves-tone"))) == ()


def test_asking_about_power_brings_nothing_heavy() -> None:
    code = (
        "import sys\n"
        "from pedalwright import circuits, read_text\n"
        "from pedalwright.analysis.power import abuse, battery_life, budget, heat, ratings, settling\n"
        "one = read_text(circuits.text('lantern-echo'))\n"
        "for ask in (abuse, battery_life, budget, heat, ratings, settling): ask(one)\n"
        "heavy = {'scipy', 'numba', 'matplotlib', 'sympy', 'lark'} & set(sys.modules)\n"
        "print(sorted(heavy - {'lark'}))\n"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"
