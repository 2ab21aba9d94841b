"""Compiling: shorts, names, floating nets, refusals; and the reductions made for proofs."""

import numpy as np
import pytest

from pedalwright.circuit.primitives import Short
from pedalwright.solve.certificate import NotCertified
from pedalwright.solve.linear import ground_nets, idealise, linearise
from pedalwright.solve.response import respond
from pedalwright.solve.system import compile_system
from tests.solve.parts import (
    GND,
    Parts,
    amplifier,
    capacitor,
    current,
    diode,
    draw,
    field_effect,
    resistor,
    source,
)
from tests.solve.solving import INPUT, rest_of

FREQUENCIES = np.geomspace(50.0, 5e3, 5)


def short(a: str, b: str) -> Short:
    return Short(owner="W", name=f"W/{a}/{b}", a=a, b=b)


def test_shorted_nets_are_one_net_and_ground_stays_ground() -> None:
    system = compile_system(
        [short("b", "a"), short("c", GND), short("b", "d"), resistor("R1", "a", "c", 1e3)]
    )
    assert system.row("a") == system.row("b") == system.row("d")
    assert system.row("c") == system.row(GND) == system.size
    with pytest.raises(KeyError):
        system.row("nowhere")


def test_every_linear_value_is_listed_in_order() -> None:
    parts = [resistor("R1", "a", GND, 1e3), amplifier("U1", "a", "b", "b"), capacitor("C1", "a", "b", 1e-9)]
    system = compile_system(parts)
    assert system.names == ("R1", "U1/bandwidth", "C1")
    assert system.values.tolist() == [1e3, 3e6, 1e-9]
    assert not system.values.flags.writeable


def test_a_name_may_be_used_once() -> None:
    with pytest.raises(ValueError, match="two primitives are called R1"):
        compile_system([resistor("R1", "a", "b", 1.0), resistor("R1", "a", GND, 1.0)])


def test_floating_nets_are_named_and_the_rest_is_solved() -> None:
    parts = [
        source("V1", "a", 9.0),
        resistor("R1", "a", "b", 1e3),
        resistor("R2", "b", GND, 2e3),
        capacitor("C1", "b", "x", 1e-6),
        resistor("R3", "x", "y", 1e4),
        amplifier("U1", "z", "out", "out", rails=("a", GND)),
    ]
    rest = rest_of(parts)
    assert set(rest.floating) == {"x", "y", "z"}
    assert rest.volts("b") == pytest.approx(6.0, rel=1e-9)


def test_an_unheld_supply_net_has_no_voltage() -> None:
    rest = rest_of([draw("S1", "a", 1e-3), resistor("R1", "a", "b", 1e3)])
    assert rest.volts("a") == pytest.approx(0.0, abs=1e-9)
    assert rest.floating == ()


def test_nothing_and_a_lonely_net() -> None:
    assert rest_of([]).certificate.ok
    rest = rest_of([short("a", "b")])
    assert rest.volts("a") == 0.0 and set(rest.floating) == {"a", "b"}


def test_contradiction_is_not_certified_and_gives_no_digits() -> None:
    rest = rest_of([source("V1", "a", 9.0), source("V2", "a", 5.0)])
    assert not rest.certificate.ok
    for ask in (lambda: rest.volts("a"), lambda: rest.voltages, lambda: rest.amperes("V1")):
        with pytest.raises(NotCertified) as refusal:
            ask()
        assert refusal.value.certificate is rest.certificate
    with pytest.raises(NotCertified):
        linearise(rest.system, rest)


def test_a_source_with_both_ends_on_one_net_is_silent() -> None:
    rest = rest_of(
        [source("V1", "a", 9.0, minus="a"), resistor("R1", "a", GND, 1e3), current("I1", GND, "a", 1e-3)]
    )
    assert rest.volts("a") == pytest.approx(1.0)


def biased() -> Parts:
    return [
        source("V1", "VA", 9.0),
        source("input", "in"),
        resistor("R1", "VA", "VB", 1e4),
        resistor("R2", "VB", GND, 1e4),
        capacitor("C1", "VB", GND, 47e-6),
        capacitor("C2", "in", "x", 1e-7),
        resistor("R3", "x", "n", 1e4),
        resistor("R4", "n", "out", 4.7e4),
        diode("D1", "n", "out"),
        amplifier("U1", "VB", "n", "out"),
        amplifier("U2", "VB", "q", "VC"),
        resistor("R6", "VC", "q", 1e4),
        current("I1", "n", GND, 5e-8),
        draw("S1", "VA", 1.4e-3),
    ]


def test_idealised_and_grounded_circuit_obeys_the_ideal_formula() -> None:
    parts = ground_nets(idealise(biased()), ["VA", "VB", "VC"])
    names = {part.name for part in parts}
    assert not {"D1", "I1", "S1", "U2", "V1"} & names and "U1" in names
    small = linearise(compile_system(parts), {})
    found = respond(small, INPUT, FREQUENCIES)
    zin = 1e4 + 1 / (2j * np.pi * FREQUENCIES * 1e-7)
    np.testing.assert_allclose(found.volts("out"), -4.7e4 / zin, rtol=1e-12)


def test_kept_parts_are_made_linear_at_the_voltages_of_the_whole_circuit() -> None:
    jfet = field_effect("J1", "out", "VB", "s", idss_a=2e-3, threshold_v=-2.0)
    parts = [*biased(), jfet, resistor("R9", "s", GND, 1e3)]
    rest = rest_of(parts)
    whole = linearise(rest.system, rest)
    reduced = linearise(
        compile_system(ground_nets(idealise(parts, keep=["J1", "D1"]), ["VB"])), rest.voltages
    )
    for name in ("J1/gm", "J1/gds", "D1/gd"):
        assert reduced.parameter(name) == pytest.approx(whole.parameter(name), rel=1e-9)
    with pytest.raises(KeyError):
        linearise(compile_system([jfet]), {"out": 4.0})


def test_without_lifts_parts_off_by_name_or_owner() -> None:
    small = linearise(compile_system(idealise(biased())), {})
    bare = small.without(["C2", "input"])
    assert "C2" not in bare.names and "R3" in bare.names
    with pytest.raises(KeyError):
        small.without(["R99"])
