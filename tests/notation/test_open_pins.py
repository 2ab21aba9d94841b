"""Pins that lead nowhere: noted where the part needs them, and only there."""

import pytest

from pedalwright.notation import examine, read_text
from tests.stages.golden import blind_circuits, odd_circuits, package_circuits, unseen_circuits

HEAD = """pedal Open pins
supply VIN 9V wall
input IN pickup
output OUT 1M
part U1 dual-opamp TL072 v+=VIN v-=gnd
part Q1 npn 2N3904
knob VOL 100k linear
"""
WHOLE = """IN > C1 100n > U1a.non
U1a.non > R1 1M > VIN
U1a.inv > U1a.out > VOL.3
VOL.1 > gnd
VOL.2 > C2 1u > OUT
Q1.b > R2 100k > VIN
Q1.c > R3 10k > VIN
Q1.e > gnd
"""


def noted(text: str) -> list[str]:
    return [remark.what for remark in examine(HEAD + text).remarks if remark.code == "pin.open"]


def test_nothing_is_said_when_every_pin_that_matters_is_joined() -> None:
    assert noted(WHOLE) == []


@pytest.mark.parametrize(
    ("left_out", "what"),
    [
        ("VOL.1 > gnd\n", "VOL.1 leads nowhere."),
        ("VOL.2 > C2 1u > OUT\n", "VOL.2 leads nowhere."),
        ("Q1.e > gnd\n", "Q1.e leads nowhere."),
        ("Q1.b > R2 100k > VIN\n", "Q1.b leads nowhere."),
    ],
)
def test_a_forgotten_pin_is_noted_with_a_cure(left_out: str, what: str) -> None:
    text = WHOLE.replace(left_out, "")
    assert noted(text) == [what]
    remark = next(remark for remark in examine(HEAD + text).remarks if remark.code == "pin.open")
    assert remark.span is not None and remark.cure.endswith(".")


def test_a_knob_wired_to_nothing() -> None:
    assert noted(WHOLE + "knob SPARE 10k linear\n") == ["SPARE.1, SPARE.2, SPARE.3 lead nowhere."]


def test_an_input_to_nothing() -> None:
    assert noted(WHOLE + "U1b.out > R4 10k > gnd\nU1b.out > U1b.inv\n") == ["U1b.non leads nowhere."]


@pytest.mark.parametrize(
    "wiring",
    [
        "RHEO.2 > R5 10k > gnd\nRHEO.1 > VIN",
        "RHEO.2 > RHEO.1 > R5 10k > gnd\nRHEO.3 > VIN",
        "U1a.out > RHEO.3\nRHEO.2 > C5 10n > gnd",
    ],
)
def test_a_variable_resistor_of_two_lugs_is_no_mistake(wiring: str) -> None:
    assert noted(f"{WHOLE}knob RHEO 10k linear\n{wiring}\n") == []


@pytest.mark.parametrize(
    "wiring",
    [
        "RHEO.2 > U1b.non\nU1b.inv > U1b.out > R6 10k > gnd",
        "RHEO.2 > C5 100n > U1b.non\nU1b.non > R7 1M > VIN\nU1b.inv > U1b.out > R6 10k > gnd",
    ],
)
def test_a_divider_with_one_end_hanging_is_noted(wiring: str) -> None:
    assert noted(f"{WHOLE}knob RHEO 10k linear\nU1a.out > RHEO.3\n{wiring}\n") == ["RHEO.1 leads nowhere."]


def test_the_echo_chips_clock_may_stay_open() -> None:
    """Every circuit of the package is wired whole: echo chips, spare sections, two-lug knobs."""
    sets = package_circuits() | odd_circuits() | blind_circuits() | unseen_circuits()
    circuits = [circuit for circuit, _ in sets.values()]
    assert any(part.kind == "echo-chip" for circuit in circuits for part in circuit.parts)
    assert [remark for circuit in circuits for remark in circuit.cautions if remark.code == "pin.open"] == []


def test_the_remark_does_not_stop_the_circuit() -> None:
    assert read_text(HEAD + WHOLE.replace("VOL.1 > gnd\n", "")).by_ref["VOL"].kind == "knob"
