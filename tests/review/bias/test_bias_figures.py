"""What the rules on resting voltages compute, against figures worked by hand."""

from math import log10, sqrt

import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.notation.reading import read_text
from pedalwright.review.catalogue import rule_named
from pedalwright.review.rule import Finding
from pedalwright.review.survey import Survey

FOLLOWER = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 opamp {} v+=V v-=gnd
IN > C1 100n > U1.non > R1 {} > VB
V > R2 22k > VB > R3 {} > gnd
VB > C3 47u > gnd
U1.out > U1.inv
U1.out > C2 1u (film) > OUT > R4 100k > gnd
"""


def found(code: str, text: str) -> tuple[Finding, ...]:
    rule = rule_named(code)
    assert rule is not None
    whole = f"pedal Hand\n{text}"
    return tuple(rule.look(Survey(Analysis(read_text(whole), whole))))


def figure(finding: Finding, name: str) -> float:
    return next(one.value for one in finding.evidence if one.name.startswith(name))


def test_room_lost_by_a_divider_off_the_middle() -> None:
    # The TL07x stops 1.5 V short of its rails (TI SLOS080M): from 1.5 V to 7.5 V, the middle at 4.5 V
    (one,) = found("B03", FOLLOWER.format("TL071", "470k", "9k1"))
    at = 9.0 * 9.1 / 31.1
    assert figure(one, "U1's output") == pytest.approx(at, abs=0.01)
    assert figure(one, "room lost") == pytest.approx(20 * log10(3.0 / (at - 1.5)), abs=0.05)
    assert [(change.ref, change.value) for change in one.changes] == [("R3", 22e3)]


def test_input_current_through_the_bias_resistor() -> None:
    # 500 nA (the type's card) through 2.2 Mohm and half of 22 kohm
    (one,) = found("B12", FOLLOWER.format("NE5534", "2M2", "22k"))
    assert figure(one, "shift") == pytest.approx(500e-9 * (2.2e6 + 11e3), rel=1e-3)


def test_gain_of_the_half_supply() -> None:
    text = FOLLOWER.format("TL071", "470k", "22k").replace(
        "U1.out > U1.inv", "U1.out > R5 100k > U1.inv > R6 10k > gnd"
    )
    (one,) = found("B04", text)
    assert figure(one, "gain at rest") == pytest.approx(11.0, rel=1e-4)


def test_half_of_the_ripple_without_a_capacitor() -> None:
    text = FOLLOWER.format("TL071", "470k", "22k").replace("VB > C3 47u > gnd\n", "")
    (one,) = found("B06", text)
    lower = 1.0 / (1.0 / 22e3 + 1.0 / 470e3)  # R1 leads to the pickup, next to nothing beside it
    assert figure(one, "supply to half supply") == pytest.approx(20 * log10(lower / (lower + 22e3)), abs=0.02)


def test_direct_voltage_through_a_resistor_to_the_jack() -> None:
    text = FOLLOWER.format("TL071", "470k", "22k").replace(
        "C2 1u (film) > OUT > R4 100k > gnd", "R4 100k > OUT"
    )
    (one,) = found("B07", text)
    assert figure(one, "output jack") == pytest.approx(4.5 / 1.1, abs=0.01)


def test_the_jump_of_a_crackling_wiper() -> None:
    # 4.5 V across the track: one per cent is 45 mV, behind both halves in parallel, into 100 kohm and 1 Mohm
    text = FOLLOWER.format("TL071", "470k", "22k").replace(
        "U1.out > C2 1u (film) > OUT > R4 100k > gnd",
        "U1.out > LEVEL.3\nLEVEL.1 > gnd\nLEVEL.2 > C2 100u (film) > OUT > R4 100k > gnd",
    )
    (one,) = found("B13", f"knob LEVEL 100k linear at 5\n{text}")
    load = 1.0 / (1e-5 + 1e-6)
    assert figure(one, "jump") == pytest.approx(45e-3 * load / (load + 25e3), rel=0.01)


def test_the_worst_transistor_of_its_type_by_the_square_law() -> None:
    # I = beta (V - I Rs)^2 with beta = Idss/Vp^2 kept, pinch-off 0.6 and 1.4 times the card's
    # (3 mA and 3.06 V: Motorola 2N5457/D, 1996); channel-length modulation moves it by a per cent
    (one,) = found(
        "B11",
        "supply V 9V wall\ninput IN pickup\noutput OUT 1M\npart Q1 n-jfet 2N5457 modulation=0\n"
        "IN > C1 100n > Q1.g > R1 1M > gnd\nV > R2 4k7 > Q1.d\nQ1.s > R3 1k > gnd\n"
        "Q1.d > C2 1u > OUT > R4 100k > gnd\n",
    )
    beta, source, drain = 3e-3 / 3.06**2, 1e3, 4.7e3
    pinch = 1.4 * 3.06
    b = 2 * pinch * source + 1 / beta
    amps = (b - sqrt(b**2 - 4 * source**2 * pinch**2)) / (2 * source**2)
    flat = 9.0 - amps * (drain + source) - (pinch - amps * source)
    assert flat < 0  # by hand it would have left its flat region: the rule's room is below what it asks for
    assert figure(one, "room") < 0.05 * 9.0
