"""The two-transistor fuzz against Kirchhoff's equations written out by hand and solved by SciPy."""

import numpy as np
import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.notation import read_text
from pedalwright.stages.recognise import bench_for
from pedalwright.stages.transistor_cluster import clusters
from pedalwright.stages.transistor_shape import network_around
from pedalwright.stages.transistor_words import transistor_numbers

from .transistor_equations import solved, transport
from .transistor_texts import by_name, purpose_of

FUZZ_PAIR = """pedal Pair
supply V 9V wall
input IN line
output OUT 1M
part Q1 npn 2N3904
part Q2 npn 2N3904
IN > C1 2u2 > Q1.b
V > R1 33k > Q1.c
Q1.e > gnd
Q1.c > Q2.b
V > R2 470 > TAP > R3 8k2 > Q2.c
Q2.e > R5 1k || C2 22u > gnd
Q2.e > R4 100k > Q1.b
TAP > C3 10n > OUT
"""


def test_the_pair_rests_where_an_independent_solution_says() -> None:
    """Kirchhoff's equations of the two-transistor fuzz, written out by hand and solved by SciPy."""

    def residual(x: np.ndarray) -> list[float]:
        b1, c1, e2, tap, c2 = x
        ic1, ib1 = transport(b1, b1 - c1)
        ic2, ib2 = transport(c1 - e2, c1 - c2)
        return [
            ((e2 - b1) / 100e3 - ib1) * 1e6,
            ((9 - c1) / 33e3 - ic1 - ib2) * 1e6,
            (ic2 + ib2 - e2 / 1e3 - (e2 - b1) / 100e3) * 1e6,
            ((9 - tap) / 470 - (tap - c2) / 8.2e3) * 1e6,
            ((tap - c2) / 8.2e3 - ic2) * 1e6,
        ]

    wanted = solved(residual, [0.6, 1.3, 0.7, 8.6, 4.0])
    rest = Analysis(read_text(FUZZ_PAIR)).rest
    found = [rest.volts(net) for net in ("~Q1.b", "~Q1.c", "~Q2.e", "TAP", "~Q2.c") if net in rest.voltages]
    assert len(found) == 5
    assert found == pytest.approx(list(wanted), abs=1e-6)


def test_the_first_of_the_pair_by_hand() -> None:
    """Two junctions up, by Kirchhoff's laws: within the tenth of a volt that 0.65 V per junction leaves
    open.
    """
    analysis = Analysis(read_text(FUZZ_PAIR))
    stage = next(stage for stage in analysis.stages.stages if "Q1" in stage.refs)
    number = by_name(transistor_numbers(stage, analysis.bench))["collector voltage at rest"]
    assert number.closed == pytest.approx(number.full, abs=0.15)
    second = next(stage for stage in analysis.stages.stages if "Q2" in stage.refs)
    assert second.with_role("bias feedback resistor") == ("R4",)
    assert "leads this emitter's voltage back" in purpose_of(second, analysis.bench)


def test_a_network_is_found_whatever_the_designators() -> None:
    """Renaming nets and parts changes nothing but the names."""
    plain, other = (
        bench_for(read_text(text))
        for text in (FUZZ_PAIR, FUZZ_PAIR.replace("TAP", "AAA").replace("R4", "R40"))
    )
    shapes = []
    for bench in (plain, other):
        networks = [network_around(bench, cluster) for cluster in clusters(bench.view, bench.classes)]
        shapes.append(
            [(len(item.leaves), len(item.inputs), sorted(item.places.values())) for item in networks]
        )
    assert shapes[0] == shapes[1]
