"""The table: places as a builder names them, the echo chip against its published reading, knobs, faults."""

import numpy as np
import pytest

from pedalwright import circuits, read_text
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.voltages import State, voltage_table
from pedalwright.analysis.voltages.population import Versions, solve

from .circuits_in_hand import DIVIDER, SPARE_SECTION, TURNED, package, table

PUBLISHED = {
    "1": 4.97, "2": 2.48, "3": 0.0, "4": 0.05, "5": 2.66, "6": 2.41, "7": 0.92, "8": 0.93,
    **{str(pin): 2.48 for pin in range(9, 17)},
}  # fmt: skip
"""A complete set of readings of a working unit with this chip, a builder's in a kit maker's forum, February
2019; the only one found."""


@pytest.mark.parametrize("measured", [{}, {"V5": 4.97}])
def test_the_published_readings_of_the_echo_chip_lie_inside_our_bands(measured: dict[str, float]) -> None:
    found = voltage_table(package("lantern-echo"), measured=measured)
    for pin, volts in PUBLISHED.items():
        expected = found.row(f"U2.{pin}").expected
        # Where the delay knob stood is not told.
        limits = expected.knob_range or (expected.low_v, expected.high_v)
        assert limits[0] is not None and limits[1] is not None
        assert limits[0] - 0.005 <= volts <= limits[1] + 0.005, pin


def test_pins_come_in_the_order_of_the_package_with_number_and_name() -> None:
    found = table("lantern-echo")
    chip = [row.place for row in found.rows if row.place.ref == "U1"]
    assert [place.key for place in chip] == [f"U1.{n}" for n in range(1, 9)]
    assert [place.name for place in chip[:3]] == ["U1a out", "U1a inv", "U1a non"]
    assert [place.net for place in chip] == [
        package("lantern-echo").circuit.by_ref["U1"].net(pin)
        for pin in ("a.out", "a.inv", "a.non", "v-", "b.non", "b.inv", "b.out", "v+")
    ]
    assert [row.place.number for row in found.rows if row.place.ref == "U2"] == [str(n) for n in range(1, 17)]
    assert found.row("VB").place.says == "half supply"
    legs = [row.place for row in table("plumtree-fuzz").rows if row.place.ref == "Q1"]
    assert [place.name for place in legs] == ["c", "b", "e"] and legs[0].says.startswith("collector")


def test_what_nothing_holds_says_so() -> None:
    found = voltage_table(read_text(SPARE_SECTION))
    assert found.nets["LOOSE"].state is State.ANYTHING
    assert found.row("U1.7").expected.state is State.ANYTHING
    assert found.row("U1.1").expected.state is State.STEADY


def test_a_knob_is_told_with_what_it_does_all_over_its_travel() -> None:
    """A 10 kohm track on 9 V: at the ends of the dial one ohm is left, so 9 V/10,000 from either end."""
    found = voltage_table(read_text(TURNED), measured={"V": 9.0}, meter_ohms=float("inf")).nets["A"]
    (move,) = found.knobs
    assert move.knob == "LEVEL" and move.ends == ("0", "10")
    assert list(move.ends_v) == pytest.approx([9 / 10e3, 9 - 9 / 10e3], rel=1e-3)
    assert found.knob_range is not None and found.knob_range[0] < 0.1 and found.knob_range[1] > 8.9


def test_knobs_are_swept_as_separately_set_circuits() -> None:
    moved = table("lantern-echo").row("U2.6").expected.knobs
    assert [move.knob for move in moved] == ["TIME"]
    for position, volts in zip((0, 10), moved[0].ends_v, strict=True):
        alone = voltage_table(read_text_at("lantern-echo", {"TIME": position}), builds=2).row("U2.6").expected
        assert alone.typical_v == pytest.approx(volts, abs=2e-3)


def read_text_at(name: str, settings: dict[str, float | str]) -> Analysis:
    return read_text(circuits.text(name), settings=settings)


def test_a_switch_that_moves_a_reading_is_told_by_its_positions() -> None:
    text = """pedal Switch
supply V 9V wall
switch MODE low high at high
V > R1 10k > A > R2 10k > gnd
A > MODE.common
MODE.high > R3 10k > gnd
MODE.low > gnd
"""
    (move,) = voltage_table(read_text(text), measured={"V": 9.0}).nets["A"].knobs
    assert (move.knob, move.ends) == ("MODE", ("low", "high"))
    assert list(move.ends_v) == pytest.approx([0.0, 3.0], rel=1e-3, abs=1e-6)


def test_faults_of_a_divider_read_as_ohms_law_says() -> None:
    found = voltage_table(read_text(DIVIDER), measured={"V": 1.0}).nets["A"]
    told = {fault: suspect.volts for suspect in found.suspects for fault in suspect.faults}
    assert told["R1 open"] == pytest.approx(0.0, abs=1e-3)
    assert told["R2 open"] == pytest.approx(1.0, rel=2e-3)
    assert told["R1 shorted"] == pytest.approx(1.0, rel=2e-3)
    assert told["R2 shorted"] == pytest.approx(0.0, abs=1e-3)


def test_faults_are_those_of_the_circuit_written_with_the_fault() -> None:
    """The half supply's lower resistor taken out of the text, a transistor's base resistor likewise: each a
    circuit of its own.
    """
    for name, line, fault, net in (
        ("lantern-echo", "VB > R4 22k > gnd", "R4 open", "VB"),
        ("plumtree-fuzz", "Q1.c > R2 2M2 > Q1.b", "R2 open", "~Q1.c"),
    ):
        text = circuits.text(name)
        broken = "\n".join(_without(one, line) for one in text.splitlines())
        assert broken != text
        alone = voltage_table(read_text(broken), builds=2)
        faults = table(name).faults
        assert faults is not None
        place = faults.faults.index(fault)
        assert faults.volts[place, faults.nets.index(net)] == pytest.approx(
            alone.nets[net].typical_v, abs=5e-3
        )


def _without(line: str, walk: str) -> str:
    """The line without a walk it holds, at its end or as a whole."""
    if line.startswith(walk):
        return ""
    tail = " > ".join(walk.split(" > ")[1:])
    return line.replace(f" > {tail}", "") if walk in line else line


def test_the_table_is_the_same_every_time() -> None:
    one, other = (voltage_table(package("kilnhouse-drive"), builds=50) for _ in range(2))
    assert one.rows == other.rows and one.conditions == other.conditions


def test_a_fault_of_one_parameter_of_a_field_effect_transistor_can_be_solved_from_nothing() -> None:
    """The law's first guess once took both parameters for arrays of one shape."""
    analysis = package("gatepost-buffer")
    for name, value in (("Q1.threshold_v", -2.0), ("Q1.beta", 1e-3)):
        changes = {name: np.array([value, value / 2])}
        wrong_start = np.full_like(analysis.rest.x, 1e6)
        assert solve(analysis.system, Versions(count=2, changes=changes), wrong_start).ok.all()
