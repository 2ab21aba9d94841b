"""What the rules on connections compute, against closed forms."""

from math import pi, sqrt

import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.notation.reading import read_text
from pedalwright.review.catalogue import rule_named
from pedalwright.review.rule import Finding
from pedalwright.review.rules.bias._sections import sections
from pedalwright.review.rules.nets._growing import growing_modes
from pedalwright.review.survey import Survey

BRIDGE = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 opamp TL071 v+=V v-=gnd
V > R8 10k > VB > R9 10k > gnd
VB > C9 1000u > gnd
U1.out > R1 10k > C1 10n > U1.non
U1.non > R2 10k || C2 10n > VB
U1.out > R3 {} > U1.inv > R4 10k > VB
U1.out > C3 1u > OUT > R5 100k > gnd
"""


def survey(text: str) -> Survey:
    whole = f"pedal Hand\n{text}"
    return Survey(Analysis(read_text(whole), whole))


def found(code: str, text: str) -> tuple[Finding, ...]:
    rule = rule_named(code)
    assert rule is not None
    return tuple(rule.look(survey(text)))


def test_the_growing_mode_of_a_wien_bridge() -> None:
    # (s R C)^2 + (3 - K) s R C + 1 = 0 with K = 1 + R3/R4 (Franco, Wien-bridge oscillator); the amplifier's
    # 3 MHz and the stiffness of the half supply move it by some per cent
    modes = growing_modes(survey(BRIDGE.format("22k")))
    pole = max((pole for pole, _ in modes), key=lambda one: one.imag)
    rc, gain = 1e-4, 3.2
    assert pole.imag == pytest.approx(sqrt(1.0 - ((gain - 3.0) / 2.0) ** 2) / rc, rel=0.03)
    assert pole.real == pytest.approx((gain - 3.0) / (2.0 * rc), rel=0.15)


def test_below_a_gain_of_three_nothing_grows() -> None:
    assert not growing_modes(survey(BRIDGE.format("18k")))


def test_the_share_that_comes_back_is_that_of_the_divider() -> None:
    (section,) = sections(survey(BRIDGE.format("18k")))
    # the half supply itself, 5 kohm at rest, stands in the leg
    assert section.minus_share == pytest.approx(15.0 / 33.0, rel=1e-3)
    assert section.plus_share == pytest.approx(5.0 / 33.0, rel=1e-3)


def test_a_corner_out_of_use_is_that_of_the_formula() -> None:
    (one,) = found(
        "N08",
        "supply V 9V wall\ninput IN pickup\noutput OUT 1M\npart U1 opamp TL071 v+=V v-=gnd\n"
        "IN > C1 100n > U1.non > R1 470k > VB\nV > R2 10k > VB > R3 10k > gnd\nVB > C3 47u > gnd\n"
        "U1.out > R5 100k || C5 10n > U1.inv > R6 10k > C4 1u > gnd\nU1.out > C2 1u > OUT > R4 100k > gnd\n",
    )
    assert one.evidence[0].value == pytest.approx(1.0 / (2.0 * pi * 100e3 * 10e-9), rel=0.01)


def test_the_nearest_value_of_the_series() -> None:
    # IEC 60063, E24: 43 and 47 are the neighbours of 45; 47 is nearer by ratio
    (one,) = found("N15", "input IN 1k 1V\noutput OUT 1M\nIN > R1 45k > OUT > R2 10k > gnd\n")
    assert [(change.ref, change.value) for change in one.changes] == [("R1", 47e3)]


def test_a_grounded_signal_is_below_sixty_decibels() -> None:
    text = "input IN 1k 1V\noutput OUT 1M\nIN > R1 10k > OUT > R2 1 > gnd\n"
    (one,) = found("N01", text)
    assert one.evidence[0].value == pytest.approx(-80.8, abs=0.1)  # 20 log10(1/11001)
