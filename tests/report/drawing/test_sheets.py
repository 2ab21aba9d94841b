"""Every drawing is the circuit, and nothing on it covers anything else.

That a drawing must be read back and equal the net list is the project's own rule; the second reader of
these tests shares no code with the program's.
"""

from dataclasses import replace
from random import Random

import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.notation import read_text
from pedalwright.report.drawing import proof_of, schematic
from pedalwright.report.drawing.desk import UnprovedDrawing, _Desk, _proved
from pedalwright.report.drawing.overlap import clashes
from pedalwright.report.drawing.proof import circuit_pins
from pedalwright.report.drawing.sheet import Dot, Sheet, Wire
from tests.stages.disguises import mirrored_knobs, reversed_parts, shuffled

from .pictures import NAMES, analysis_of, sheet_of
from .random_stages import random_stages
from .second_reading import partition


def wanted_partition(analysis: Analysis) -> set[frozenset[tuple[str, str]]]:
    groups: dict[str, set[tuple[str, str]]] = {}
    for pin, net in circuit_pins(analysis.circuit).items():
        groups.setdefault(net, set()).add(pin)
    return {frozenset(group) for group in groups.values()}


def assert_true_and_clear(analysis: Analysis, sheet: Sheet) -> None:
    proof = proof_of(analysis, sheet)
    assert proof.faults == ()
    assert partition(sheet) == wanted_partition(analysis)
    assert clashes(sheet.placed, sheet.wires, sheet.flags, sheet.labels) == ()


@pytest.mark.parametrize("name", NAMES)
def test_every_circuit_is_drawn_in_stages_truly_and_without_overlap(name: str) -> None:
    sheet = sheet_of(name)
    assert_true_and_clear(analysis_of(name), sheet)
    assert not sheet.safe
    assert sheet.plain_stages == ()


@pytest.mark.parametrize("seed", range(12))
def test_some_circuits_of_stages_by_chance(seed: int) -> None:
    text = random_stages(seed)
    analysis = Analysis(read_text(text), text)
    assert_true_and_clear(analysis, schematic(analysis))


@pytest.mark.slow
@pytest.mark.parametrize("tens", range(12, 112, 10))
def test_a_hundred_circuits_of_stages_by_chance(tens: int) -> None:
    for seed in range(tens, tens + 10):
        text = random_stages(seed)
        analysis = Analysis(read_text(text), text)
        assert_true_and_clear(analysis, schematic(analysis))


@pytest.mark.slow
def test_circuits_without_any_sense_are_drawn_truly_too() -> None:
    from pedalwright.circuit.remark import UnusableCircuit
    from tests.fuzz.random_circuits import random_circuit

    drawn = 0
    for seed in range(120):
        text = random_circuit(seed)
        try:
            analysis = Analysis(read_text(text), text)
        except UnusableCircuit:
            continue
        assert_true_and_clear(analysis, schematic(analysis))
        drawn += 1
    assert drawn > 20


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_order_and_direction_of_the_text_do_not_spoil_a_drawing(name: str) -> None:
    """Parts in any order, either way round, knobs wired the other way: other pictures, none of them wrong."""
    chance = Random(11)
    circuit = mirrored_knobs(reversed_parts(shuffled(analysis_of(name).circuit, chance), chance), chance)
    analysis = Analysis(circuit)
    assert_true_and_clear(analysis, schematic(analysis))


@pytest.mark.parametrize("name", ["lantern-echo", "crossroads-box", "sparkwell-boost"])
def test_the_plain_layout_is_always_true(name: str) -> None:
    """The way out when a drawing could not be proved: every pin with a flag of its own."""
    analysis = analysis_of(name)
    desk = _Desk(analysis, "iec")
    assert_true_and_clear(analysis, desk.sheet(desk.plain_groups(desk.units)))


def test_what_cannot_be_proved_falls_back_to_the_plain_layout(monkeypatch: pytest.MonkeyPatch) -> None:
    analysis = analysis_of("gatepost-buffer")
    right = _Desk.groups

    def torn(desk: _Desk) -> list[object]:
        groups = right(desk)
        groups[0][1][0].block.pen.placed.clear()
        return groups  # type: ignore[return-value]

    monkeypatch.setattr(_Desk, "groups", torn)
    sheet = schematic(analysis)
    assert sheet.safe
    assert_true_and_clear(analysis, sheet)
    monkeypatch.setattr(_Desk, "plain_groups", lambda desk, units: torn(desk))
    with pytest.raises(UnprovedDrawing, match="is not drawn"):
        schematic(analysis)


@pytest.mark.parametrize("widest", [60, 90, 400])
@pytest.mark.parametrize("name", ["lantern-echo", "kilnhouse-drive", "crossroads-box"])
def test_rows_are_wrapped_where_one_likes(name: str, widest: int) -> None:
    analysis = analysis_of(name)
    sheet = schematic(analysis, widest=widest)
    assert_true_and_clear(analysis, sheet)
    widest_stage = max(frame.box.right - frame.box.left for frame in sheet.frames)
    assert sheet.box.right - sheet.box.left < max(widest, widest_stage) + 30


@pytest.mark.parametrize("name", ["lantern-echo", "windowsill-tone", "ferryman-phaser"])
def test_every_stage_can_be_drawn_alone(name: str) -> None:
    analysis = analysis_of(name)
    for stage in analysis.stages.stages:
        sheet = schematic(analysis, stage=stage.name)
        assert proof_of(analysis, sheet).faults == ()
        assert clashes(sheet.placed, sheet.wires, sheet.flags, sheet.labels) == ()
        parts = {one.unit for one in sheet.placed}
        assert parts == {unit.name for unit in _Desk(analysis, "iec").members[stage.name]}


def test_a_stage_that_does_not_exist_is_refused() -> None:
    with pytest.raises(KeyError):
        schematic(analysis_of("gatepost-buffer"), stage="S99")


# The proof sees what is wrong.


def faults_of(sheet: Sheet) -> tuple[str, ...]:
    return _proved(sheet, circuit_pins(analysis_of("lantern-echo").circuit)).faults


def test_every_single_wire_matters_or_is_beside_another() -> None:
    """A wire taken away is noticed, unless other wires cover its way."""
    sheet = sheet_of("lantern-echo")
    noticed = 0
    for place, wire in enumerate(sheet.wires):
        without = replace(sheet, wires=(*sheet.wires[:place], *sheet.wires[place + 1 :]))
        same = partition(without) == partition(sheet)
        assert bool(faults_of(without)) or same, wire
        noticed += bool(faults_of(without))
    assert noticed > 0.8 * len(sheet.wires)


def test_a_missing_dot_is_noticed() -> None:
    sheet = sheet_of("lantern-echo")
    for dot in sheet.dots:
        assert faults_of(replace(sheet, dots=tuple(other for other in sheet.dots if other != dot))), dot


def test_a_wire_too_many_is_noticed() -> None:
    sheet = sheet_of("lantern-echo")
    pins = [at for one in sheet.placed for _, at in one.pins]
    first, other = pins[0], next(at for at in pins if at[0] != pins[0][0] and at[1] != pins[0][1])
    corner = (other[0], first[1])
    more = (Wire("VB", first, corner), Wire("VB", corner, other))
    assert any(
        "two nets in the circuit and one" in fault
        for fault in faults_of(replace(sheet, wires=(*sheet.wires, *more)))
    )


def test_a_wrong_name_on_a_flag_is_noticed() -> None:
    sheet = sheet_of("lantern-echo")
    for place, flag in enumerate(sheet.flags):
        wrong = replace(flag, name="VB" if flag.name != "VB" else "DRY")
        assert faults_of(replace(sheet, flags=(*sheet.flags[:place], wrong, *sheet.flags[place + 1 :])))


def test_a_crossing_joins_only_with_a_dot() -> None:
    """A cross of two wires with a pin at each of two ends."""
    first, second = sheet_of("gatepost-buffer").placed[:2]
    ends = (
        replace(first, part="R1", pins=(("1", (0, 2)),)),
        replace(second, part="R2", pins=(("1", (2, 0)),)),
    )
    wires = (Wire("A", (0, 2), (4, 2)), Wire("B", (2, 0), (2, 4)))
    bare = replace(sheet_of("gatepost-buffer"), placed=ends, wires=wires, flags=(), dots=())
    dotted = replace(bare, dots=(Dot("A", (2, 2)),))
    apart, one = {("R1", "1"): "A", ("R2", "1"): "B"}, {("R1", "1"): "A", ("R2", "1"): "A"}
    assert (_proved(bare, apart).holds, _proved(bare, one).holds) == (True, False)
    assert (_proved(dotted, apart).holds, _proved(dotted, one).holds) == (False, True)
    assert (len(partition(bare)), len(partition(dotted))) == (2, 1)


def test_a_part_left_out_or_drawn_twice_is_noticed() -> None:
    sheet = sheet_of("lantern-echo")
    assert any("is not drawn" in fault for fault in faults_of(replace(sheet, placed=sheet.placed[1:])))
    twice = replace(sheet, placed=(*sheet.placed, sheet.placed[0]))
    assert any("drawn twice" in fault for fault in faults_of(twice))


def test_an_end_on_the_middle_of_a_wire_needs_a_dot() -> None:
    sheet = sheet_of("gatepost-buffer")
    wires = (Wire("A", (0, 0), (4, 0)), Wire("A", (2, 0), (2, 3)))
    bare = replace(sheet, wires=wires, placed=(), flags=(), dots=())
    assert any("without a dot" in fault for fault in _proved(bare, {}).faults)
    assert _proved(replace(bare, dots=(Dot("A", (2, 0)),)), {}).faults == ()


def test_an_end_on_a_wire_that_runs_on_needs_none() -> None:
    sheet = sheet_of("gatepost-buffer")
    wires = (Wire("A", (0, 0), (4, 0)), Wire("A", (2, 0), (6, 0)))
    assert _proved(replace(sheet, wires=wires, placed=(), flags=(), dots=()), {}).faults == ()


def test_a_wire_askew_is_refused() -> None:
    sheet = sheet_of("gatepost-buffer")
    askew = replace(sheet, wires=(Wire("A", (0, 0), (3, 2)),), placed=(), flags=(), dots=())
    assert any("askew" in fault for fault in _proved(askew, {}).faults)
