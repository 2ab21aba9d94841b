"""A regulator that nothing feeds satisfies its equations with kilovolts: that is said, not printed."""

import numpy as np
import pytest

from pedalwright.devices.catalogue import expand_circuit
from pedalwright.notation.reading import read_text
from pedalwright.solve.certificate import NotCertified
from pedalwright.solve.rest import operating_point, operating_points
from pedalwright.solve.system import System, compile_system

RIGHT = """pedal Fed
supply V 9V wall
output OUT 1M
part U1 regulator 5V in=V out=V5 gnd=gnd
V5 > R1 1k > OUT > R2 10k > gnd
"""
BACKWARDS = RIGHT.replace("in=V out=V5", "in=V5 out=V")


def system(text: str) -> System:
    return compile_system(expand_circuit(read_text(text)))


def test_a_regulator_that_is_fed_is_certified() -> None:
    rest = operating_point(system(RIGHT))
    assert rest.certificate.ok and not rest.certificate.beyond
    assert rest.volts("V5") == pytest.approx(5.0, abs=0.01)


def test_a_regulator_turned_round_is_refused_with_the_reason() -> None:
    rest = operating_point(system(BACKWARDS))
    assert not rest.certificate.ok
    assert "regulator" in rest.certificate.says()
    with pytest.raises(NotCertified, match="regulator"):
        rest.volts("V5")


def test_variants_are_refused_one_by_one() -> None:
    backwards = operating_points(system(BACKWARDS), {"R2": np.array([1e3, 1e4])})
    right = operating_points(system(RIGHT), {"R2": np.array([1e3, 1e4])})
    assert not backwards.ok.any() and np.isnan(backwards.volts("V5")).all()
    assert right.ok.all()
