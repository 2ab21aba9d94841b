"""The measure of overlap sees what an eye would."""

from dataclasses import replace

import pytest

from pedalwright.report.drawing.metrics import label
from pedalwright.report.drawing.overlap import clashes, shared
from pedalwright.report.drawing.sheet import Box, Flag, Placed, Wire

R1 = Placed(
    unit="R1",
    part="R1",
    symbol="resistor",
    pins=(("1", (0, 0)), ("2", (4, 0))),
    ink=(),
    body=Box(1, -1, 3, 1),
)
FLAG = Flag(net="A", name="A", style="signal", at=(10, 0), ink=(), box=Box(10, -1, 13, 1))


def sorts(placed=(), wires=(), flags=(), labels=()) -> list[str]:  # type: ignore[no-untyped-def]
    return [clash.sort for clash in clashes(placed, wires, flags, labels)]


def test_nothing_on_nothing() -> None:
    far = replace(R1, unit="R2", body=R1.body.moved(2, 0))
    assert sorts([R1, far], [Wire("A", (0, 3), (9, 3))], [FLAG]) == []


def test_symbol_on_symbol_and_on_flag() -> None:
    near = replace(R1, unit="R2", body=R1.body.moved(1, 0.5))
    assert sorts([R1, near]) == ["symbol/symbol"]
    assert sorts([replace(R1, body=R1.body.moved(9, 0))], flags=[FLAG]) == ["symbol/symbol"]
    assert shared(R1.body, near.body) == pytest.approx(1 * 1.5)


def test_text_on_text_and_on_symbol() -> None:
    first = label("220k", 20, 5, anchor="start", size=1, kind="value", owner="R1")
    second = label("10n", 21, 5.3, anchor="start", size=1, kind="value", owner="C1")
    assert sorts(labels=[first, second]) == ["text/text"]
    inside = label("220k", 2, 0, anchor="middle", size=1, kind="value", owner="R1")
    assert sorts([R1], labels=[inside]) == ["text/symbol"]
    sign = label("+", 2, 0, anchor="middle", size=1, kind="mark", owner="R1")
    assert sorts([R1], labels=[sign]) == []
    assert sorts([R1], labels=[replace(sign, owner="R2")]) == ["text/symbol"]


def test_wire_through_symbol_and_through_text() -> None:
    assert sorts([R1], [Wire("A", (2, -5), (2, 5))]) == ["wire/body"]
    assert sorts([R1], [Wire("A", (-3, 0), (2, 0))]) == ["wire/body"]
    assert sorts([R1], [Wire("A", (-3, 0), (1, 0)), Wire("A", (-3, 1), (5, 1))]) == []
    text = label("220k", 20, 5, anchor="start", size=1, kind="value", owner="R1")
    assert sorts(wires=[Wire("A", (21, 0), (21, 9))], labels=[text]) == ["wire/body"]
