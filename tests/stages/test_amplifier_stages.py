"""Figures and shapes of the operational-amplifier stages against books, and awkward cases."""

import numpy as np
import pytest

from pedalwright.formulas.gyrator import impedance
from pedalwright.notation import read_text
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.edges import Edge, reduce_edges
from pedalwright.stages.gyrator_shape import PortImpedance
from pedalwright.stages.network import AmplifierNetwork
from pedalwright.stages.phase_shift_amplifier import balance_of
from pedalwright.stages.recognise import StageMap, bench_for, kind_named, recognise
from pedalwright.stages.slow_oscillator import triangle_loops

FRAME = """pedal Bench piece
supply VP 9V wall
supply VN -9V wall
input IN line
output OUT 100k
part U1 quad-opamp TL074 v+=VP v-=VN
IN > R90 1M > gnd
IN > U1a.non
U1a.inv > U1a.out > DRY
U1b.out > OUT
"""


def on_bench(text: str) -> tuple[Bench, StageMap]:
    bench = bench_for(read_text(FRAME + text))
    return bench, recognise(bench)


def network(text: str, section: str = "U1b") -> AmplifierNetwork:
    return on_bench(text)[0].networks[section]


def part(name: str, a: str, b: str, sort: str = "R", value: float = 1e3) -> Leaf:
    return Leaf(ref=name, name=name, sort=sort, a=a, b=b, value=value)


def test_three_equal_sections_swing_where_the_book_says() -> None:
    # Gayakwad, Op-Amps and Linear Integrated Circuits, Ex. 7.12: f = 0.065/(R C), needed gain 29.
    found = balance_of(
        network(
            "U1b.out > C1 100n > A > C2 100n > B > C3 100n > R3 3k3 > U1b.inv\nA > R1 3k3 > gnd\n"
            "B > R2 3k3 > gnd\nU1b.inv > R4 95k7 > U1b.out\nU1b.non > gnd\n"
        )
    )
    assert found is not None
    assert found.frequency_hz == pytest.approx(0.065 / (3.3e3 * 100e-9), rel=2e-3)
    assert found.gain_in_hand == pytest.approx(1.0, rel=1e-3)


def test_a_wien_bridge_needs_a_gain_of_three() -> None:
    # Boylestad and Nashelsky, Ex. 14.8: f = 1/(2 pi R C), feedback twice the resistor to ground.
    found = balance_of(
        network(
            "U1b.out > R1 51k > C1 1n > U1b.non > R2 51k || C2 1n > gnd\n"
            "U1b.inv > R3 100k > gnd\nU1b.inv > R4 200k > U1b.out\n"
        )
    )
    assert found is not None
    assert found.frequency_hz == pytest.approx(3120.7, rel=1e-3)
    assert found.gain_in_hand == pytest.approx(1.0, rel=1e-9)


def test_a_triangle_runs_at_the_books_frequency() -> None:
    # Floyd, Electronic Devices, Ex. 16.4: 8.25 kHz.
    bench, _ = on_bench(
        "U1c.out > R3 10k > U1b.non > R2 33k > U1b.out\nU1b.inv > gnd\n"
        "U1b.out > R1 10k > U1c.inv > C1 10n > U1c.out\nU1c.non > gnd\n"
    )
    (loop,) = triangle_loops(bench)
    assert (loop.trigger, loop.integrator) == ("U1b", "U1c")
    assert loop.frequency_hz == pytest.approx(8250.0, rel=1e-4)
    assert loop.runs


def test_a_gyrators_port_is_the_closed_form() -> None:
    s = 2j * np.pi * np.array([50.0, 700.0, 9000.0])
    port = PortImpedance(
        part("C1", "P", "N", "C", 4.7e-9),
        part("R1", "N", "gnd", "R", 220e3),
        part("R2", "P", "O", "R", 470.0),
    )
    closed = impedance(s, line_ohms=470.0, ground_ohms=220e3, farads=4.7e-9)
    assert np.allclose(port.impedance(s), closed, rtol=1e-12)


def test_parts_beyond_the_first_fork_are_not_gathered() -> None:
    found = network(
        "DRY > R1 10k > X > R2 10k > U1b.inv\nX > C1 1n > gnd\nU1b.inv > R3 10k > U1b.out\nU1b.non > gnd\n"
    )
    assert set(found.refs) == {"R2", "R3"}
    assert found.inputs == ("X",)


def test_a_dead_end_to_ground_belongs_to_the_amplifier() -> None:
    found = network(
        "DRY > U1b.non\nU1b.inv > R1 47k > U1b.out\nU1b.inv > R2 1k > X > C1 1u > gnd\nX > R3 4k7 > gnd\n"
    )
    assert set(found.refs) == {"R1", "R2", "C1", "R3"}
    assert found.shunt is not None


def test_what_an_output_drives_is_not_gathered() -> None:
    found = network("DRY > U1b.non\nU1b.inv > U1b.out\nU1b.out > R1 10k > X > C1 1u > Y > R2 10k > U1b.out\n")
    assert found.edges == ()


def test_reduction_leaves_out_what_carries_no_current() -> None:
    edges = (Edge("a", "b", part("R1", "a", "b")), Edge("b", "c", part("R2", "b", "c")))
    assert reduce_edges(edges, ("b", "c")) == ((), ())
    left, inner = reduce_edges(edges, ("b",))
    assert inner == () and [edge.other("a") for edge in left] == ["c"]


def test_transistors_that_close_the_loop_make_the_output() -> None:
    bench, stages = on_bench(
        "part Q1 npn 2N3904\nDRY > U1b.non\nU1b.out > R1 1k > Q1.b\nVP > Q1.c\n"
        "Q1.e > R2 100 > gnd\nQ1.e > R3 10k > U1b.inv > R4 10k > gnd\n"
    )
    stage = next(stage for stage in stages.stages if "U1b" in stage.refs)
    assert (stage.kind, stage.output) == ("non-inverting-amplifier", bench.view.transistors[0].bottom)
    assert "Q1" in kind_named(stage.kind).purpose(stage, bench)


def test_a_loop_that_diodes_close_claims_no_gain() -> None:
    bench, stages = on_bench(
        "DRY > R1 10k > U1b.inv\nU1b.inv > D1 1N4148 > U1b.out\nU1b.non > gnd\n"
        "U1b.out > D2 1N4148 > X > R2 10k > U1b.inv\n"
    )
    stage = next(stage for stage in stages.stages if "U1b" in stage.refs)
    kind = kind_named(stage.kind)
    assert stage.kind == "general-amplifier"
    assert kind.transfer(stage, bench) is None
    assert kind.numbers(stage, bench) == ()
    assert "rectifier" in kind.purpose(stage, bench)
