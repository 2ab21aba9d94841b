"""What the rules on the supply compute, against figures worked by hand and published ones."""

from math import pi

import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.notation.reading import read_text
from pedalwright.review.catalogue import rule_named
from pedalwright.review.rule import Finding
from pedalwright.review.survey import Survey

WALL_HIGH = 1.05
"""a wall supply without a stated range is held against 5 % more"""


def found(code: str, text: str) -> tuple[Finding, ...]:
    rule = rule_named(code)
    assert rule is not None
    whole = f"pedal Hand\n{text}"
    return tuple(rule.look(Survey(Analysis(read_text(whole), whole))))


def figure(finding: Finding, name: str) -> float:
    return next(one.value for one in finding.evidence if one.name.startswith(name))


def test_heat_of_a_regulator_is_the_power_balance_and_its_temperature_that_times_kelvin_per_watt() -> None:
    # P = (Vin - Vout) I + Vin Iq (power balance); 200 K/W: 2N3904 sheet, 625 mW at 5 mW/K, same outline;
    # own current 3.8 mA typical, 6 mA at most (Wing Shing 78L05 sheet)
    (one,) = found(
        "S09",
        "supply V 18V wall\noutput OUT 1M\npart U1 regulator 78L05 in=V out=A\nV > C1 1u > gnd\n"
        "A > C2 1u > gnd\nA > R4 100 > gnd\nA > R2 10k > OUT > R3 10k > gnd\n",
    )
    into, out = 18.0 * WALL_HIGH, 5.0
    load = out / 100.0 + out / 20e3
    low, high = ((into - out) * load + into * own for own in (3.8e-3, 6e-3))
    watts = figure(one, "heat")
    assert low * 0.98 < watts < high * 1.02
    assert figure(one, "temperature") == pytest.approx(40.0 + 200.0 * watts, rel=1e-3)


def test_heat_of_a_resistor_is_the_square_of_its_current_times_its_ohms() -> None:
    (one,) = found(
        "S08",
        "supply V 18V wall\noutput OUT 1M\nV > R1 100 (watts=2) > A > R4 150 > gnd\n"
        "A > R2 10k > OUT > R3 10k > gnd\n".replace(" (watts=2)", ""),
    )[:1]
    below = 1.0 / (1.0 / 150.0 + 1.0 / (10e3 + 1.0 / (1.0 / 10e3 + 1e-6)))
    amps = 18.0 * WALL_HIGH / (100.0 + below)
    assert figure(one, "heat") == pytest.approx(max(amps**2 * 100.0, amps**2 * below**2 / 150.0), rel=1e-3)


def test_a_nine_volt_line_wants_a_sixteen_volt_capacitor() -> None:
    # 80 % rule: 9 V / 0.8 = 11.25 V, so the next usual rating is 16 V (common practice, no source)
    (one,) = found(
        "S03", "supply V 9V wall\noutput OUT 1M\nV > C1 100u (electrolytic) > gnd\nV > R1 10k > OUT\n"
    )
    assert "C1 16 V" in one.cure


def test_a_five_volt_regulator_needs_six_volts_seven() -> None:
    # 78L05 sheet: dropout 1.7 V typical, so 6.7 V at the input
    text = (
        "supply V {} wall\noutput OUT 1M\npart U1 regulator 78L05 in=V out=A\nV > C1 1u > gnd\n"
        "A > C2 1u > gnd\nA > R4 1k > OUT\n"
    )
    assert figure(found("S13", text.format("6V"))[0], "input above output") == pytest.approx(1.0, abs=0.01)
    assert not found("S13", text.format("7.1V"))


def test_the_current_of_a_lamp_and_the_resistor_for_two_milliamperes() -> None:
    # R = (V - VF)/I: 9 V, 2.2 V, 2 mA give 3400 ohm (Kingbright WP7113SEC/J3: 2.2 V typical at 20 mA)
    (one,) = found(
        "S16", "supply V 9V wall\noutput OUT 1M\nV > R1 470 > D1 red (led) > gnd\nV > R2 10k > OUT\n"
    )
    assert figure(one, "current") == pytest.approx((9.0 - 2.2) / 470.0, rel=0.02)
    assert [change.value for change in one.changes] == [3300.0]


def test_the_corner_of_a_supply_filter() -> None:
    # fc = 1/(2 pi R C): 10 ohm and 10 uF give 1.59 kHz
    (one,) = found(
        "S17",
        "supply VIN 9V wall\ninput IN pickup\noutput OUT 1M\npart U1 opamp TL071 v+=V v-=gnd\n"
        "VIN > R9 10 > V\nV > C9 10u (electrolytic, 16V) > gnd\nIN > C1 100n > U1.non > R1 470k > VB\n"
        "V > R2 10k > VB > R3 10k > gnd\nVB > C3 47u > gnd\nU1.out > U1.inv\nU1.out > C2 1u > OUT\n",
    )
    assert figure(one, "corner") == pytest.approx(1.0 / (2.0 * pi * 10.0 * 10e-6))


def test_a_collector_hands_the_ripple_on() -> None:
    # A collector is a source of current: all of the ripple, less the divider of collector resistor and load
    (one,) = found(
        "S21",
        "supply V 9V wall\nsupply VB 9V battery\ninput IN pickup\noutput OUT 1M\n"
        "part Q1 npn 2N3904 early=100000V\nIN > C1 100n > Q1.b > R2 22k > gnd\nVB > R1 100k > Q1.b\n"
        "Q1.e > R4 1k > gnd\nV > R3 4k7 > Q1.c\nQ1.c > C2 100u > OUT > R5 100k > gnd\n",
    )
    load = 1.0 / (1e-5 + 1e-6)
    assert 10 ** (figure(one, "supply to output") / 20) == pytest.approx(load / (load + 4700.0), rel=0.01)
