"""Golden roles, whole and in disguise: order, names, direction and splitting of parts must not matter."""

from collections.abc import Callable
from random import Random

import pytest

from pedalwright.circuit.circuit import Circuit
from tests.stages.disguises import DISGUISES, split
from tests.stages.golden import differences, found_roles, odd_circuits, package_circuits

PACKAGE = package_circuits()
ODD = odd_circuits()
ALL = {**PACKAGE, **ODD}


@pytest.mark.parametrize("name", ALL)
def test_every_part_has_its_golden_role(name: str) -> None:
    circuit, golden = ALL[name]
    assert differences(found_roles(circuit), golden) == []


@pytest.mark.parametrize("disguise", DISGUISES, ids=lambda disguise: disguise.__name__)
@pytest.mark.parametrize("name", ALL)
def test_a_disguise_changes_no_role(name: str, disguise: Callable[[Circuit, Random], Circuit]) -> None:
    circuit, _ = ALL[name]
    for seed in range(3):
        disguised = disguise(circuit, Random(seed))
        assert differences(found_roles(disguised), found_roles(circuit)) == []


@pytest.mark.parametrize("name", PACKAGE)
def test_a_resistor_split_in_two_gives_both_halves_its_role(name: str) -> None:
    circuit, _ = PACKAGE[name]
    whole = dict(found_roles(circuit))
    for ref in [part.ref for part in circuit.parts if part.kind == "resistor"]:
        expected = {**whole, "R900": whole[ref]}
        assert differences(found_roles(split(circuit, ref)), expected) == [], ref
